//go:build !linux && !darwin && !js && !windows

package speaker

// hurry has nobody to ask here.
func hurry() {}
