package track

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// direct says whether writes to a file go past the system's cache, from aligned memory
// straight to the disk (O_DIRECT, open(2)). It costs a third of the processor's time and
// leaves in the cache what other programs have there. Not every file system can do it.
type direct struct{ on, over bool }

// begin reports whether it is so, having tried once.
func (d *direct) begin(file *os.File) bool {
	if !d.on && !d.over {
		d.on = setDirect(file, unix.O_DIRECT) == nil
		d.over = !d.on
	}
	return d.on
}

// end writes through the cache from now on, as what is no whole block must be.
func (d *direct) end(file *os.File) {
	if d.on {
		_ = setDirect(file, 0) // should it fail, the next write does and says so
	}
	d.on, d.over = false, true
}

// refused reports whether the file system does not take such writes after all.
func refused(err error) bool { return errors.Is(err, unix.EINVAL) }

func setDirect(file *os.File, flag int) error {
	raw, err := file.SyscallConn()
	if err != nil {
		return err
	}
	failed := raw.Control(func(fd uintptr) {
		var flags int
		if flags, err = unix.FcntlInt(fd, unix.F_GETFL, 0); err == nil {
			_, err = unix.FcntlInt(fd, unix.F_SETFL, flags&^unix.O_DIRECT|flag)
		}
	})
	return errors.Join(failed, err)
}
