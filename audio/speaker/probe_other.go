//go:build android || darwin || js || windows

package speaker

// probe has nothing to ask where opening a device is the only way to know.
func probe() error { return nil }
