package finder

import (
	"context"

	"footing/ladder/fingers"
	"footing/ladder/fingers/chartfile"
)

// Charts looks for the fingering chart of an instrument, with the player's own rows
// beside the routine. Its methods are for the main goroutine, and wait for nothing.
type Charts struct {
	// Load reads the charts that are carried; it is called where files may be waited
	// for.
	Load func() (*fingers.Library, error)
	// Read is as in [Finder].
	Read func(read, show func())

	of      chartOf
	library *fingers.Library // those that are carried; nil until they are wanted
}

// chartOf is an instrument, and the folder of the player's own file.
type chartOf struct {
	instrument, folder string
	time               int
}

// Find looks for the chart of an instrument, unless the same was looked for last: it
// may be called as often as anything changes, and reads the player's file anew for
// another time, which the caller counts. It reports whether it looks. found is called
// on the main goroutine, with nil where there is no chart for the instrument, and with
// what keeps the player's own file from being read, unless another is looked for by
// then.
func (c *Charts) Find(instrument, folder string, time int, found func(*fingers.Chart, error)) bool {
	want := chartOf{instrument, folder, time}
	if c.Load == nil || want == c.of {
		return false
	}
	c.of = want
	library := c.library
	var own *fingers.Library
	var err error
	c.Read(func() {
		if library == nil {
			if library, err = c.Load(); err != nil {
				return
			}
		}
		own, err = chartfile.Beside(context.Background(), library, folder)
	}, func() {
		c.library = library
		if c.of != want {
			return // another is looked for meanwhile
		}
		if err != nil {
			own = library
		}
		var chart *fingers.Chart
		if own != nil {
			chart, _ = own.For(instrument)
		}
		found(chart, err)
	})
	return true
}
