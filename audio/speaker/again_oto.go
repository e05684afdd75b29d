//go:build android || darwin || js || windows

package speaker

import (
	"sync"
	_ "unsafe" // for go:linkname
)

// contextCreated is oto's own note that this process has had its one context, and contextCreationMutex its guard.
//
// oto offers neither a second context nor a way to revive the first, once its driver has given up. The restriction
// guards against two contexts at once, which [System] does not make either: the one before is dead by then. What it
// leaves behind is a parked goroutine. The other way round it, a child process that holds the device, would need a
// protocol for sound, position and state to save one line here.
//
// A renamed variable would link all the same, to nothing; TestAnotherContext is there to fail then.
var (
	//go:linkname contextCreated github.com/ebitengine/oto/v3.contextCreated
	contextCreated bool
	//go:linkname contextCreationMutex github.com/ebitengine/oto/v3.contextCreationMutex
	contextCreationMutex sync.Mutex
)

// allowAnotherContext lets oto.NewContext be called again.
func allowAnotherContext() {
	contextCreationMutex.Lock()
	defer contextCreationMutex.Unlock()
	contextCreated = false
}
