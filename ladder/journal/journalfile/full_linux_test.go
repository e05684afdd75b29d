package journalfile

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"footing/ladder"
)

// A disk that is really full, a small one in memory that only the child sees: the
// journal stays whole, whatever was written is there, and once there is room so is what
// was not.
func TestADiskThatIsReallyFull(t *testing.T) {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childDoes+"=fill a disk", childPath+"="+filepath.Join(t.TempDir(), "journal.db"))
	cmd.SysProcAttr = &syscall.SysProcAttr{Cloneflags: syscall.CLONE_NEWNS}
	if id := os.Geteuid(); id != 0 {
		cmd.SysProcAttr.Cloneflags |= syscall.CLONE_NEWUSER
		cmd.SysProcAttr.UidMappings = []syscall.SysProcIDMap{{HostID: id, Size: 1}}
		cmd.SysProcAttr.GidMappings = []syscall.SysProcIDMap{{HostID: os.Getegid(), Size: 1}}
	}
	out, err := cmd.CombinedOutput()
	said := string(out)
	if err != nil && (said == "" || strings.Contains(said, noDisk)) {
		t.Skipf("no disk of the test's own can be had here: %v %s", err, said)
	}
	if err != nil || !strings.HasSuffix(said, "all is there\n") {
		t.Errorf("%v: %s", err, said)
	}
	t.Log(said)
}

const noDisk = "a disk in memory is refused"

// fillDisk is what the child does.
func fillDisk(path string) error {
	dir := filepath.Dir(path)
	if err := syscall.Mount("", "/", "", syscall.MS_REC|syscall.MS_PRIVATE, ""); err != nil {
		return fmt.Errorf("%s: %w", noDisk, err)
	}
	const small, large = "size=448k", "size=64m"
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, small); err != nil {
		return fmt.Errorf("%s: %w", noDisk, err)
	}
	f := New(path, clock)
	n, nowhere := 0, 0
	for full := 0; nowhere == 0 || full < 3; { // until nothing more goes anywhere, and on
		for range 100 {
			n++
			f.Put(rep(n, ladder.Clean, nil))
		}
		f.Write(noTest)
		var err error
		if nowhere, err = f.Trouble(); err != nil {
			if full++; !is(err, Full) {
				return fmt.Errorf("with %d reps the trouble is %w", n, err)
			}
		}
		if n > 100_000 {
			return fmt.Errorf("%d reps find room", n)
		}
	}
	aside := strings.Count(waiting(path), "\n")
	kept, err := sound(path)
	if err != nil {
		return err
	}
	fmt.Printf("%d reps: %d in the journal, about %d beside it, %d in memory\n", n, kept, aside, nowhere)
	if kept == 0 || kept+aside+nowhere < n {
		return fmt.Errorf("some are nowhere")
	}
	if err := syscall.Mount("", dir, "", syscall.MS_REMOUNT, large); err != nil {
		return err
	}
	f.Write(noTest)
	if left, err := f.Trouble(); err != nil || left != 0 {
		return fmt.Errorf("with room the trouble is %v, with %d reps nowhere", err, left)
	}
	if kept, err = sound(path); err != nil || kept != n || waiting(path) != "" {
		return fmt.Errorf("%d reps are in the journal, %w; %d bytes wait", kept, err, len(waiting(path)))
	}
	if err := f.Close(); err != nil {
		return err
	}
	fmt.Println("all is there")
	return nil
}

// sound is how many reps are in a journal that must be whole.
func sound(path string) (n int, err error) {
	db, err := connect(path, "rw", busy)
	if err != nil {
		return 0, err
	}
	defer db.Close()
	var word string
	if err := db.QueryRow("PRAGMA integrity_check").Scan(&word); err != nil || word != "ok" {
		return 0, fmt.Errorf("the journal is not whole: %s, %w", word, err)
	}
	err = db.QueryRow("SELECT count(*) FROM rep").Scan(&n)
	return n, err
}
