package routine_test

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"footing/ladder/routine"
)

// onDisk is a routine in a file of its own folder.
func onDisk(t *testing.T) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "runs.yaml")
	if err := os.WriteFile(path, []byte(written), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(path, 0o662); err != nil { // what no usual umask would leave
		t.Fatal(err)
	}
	return path
}

func load(t *testing.T, path string) *routine.File {
	t.Helper()
	f, err := routine.Load(path)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// reps sets the reps of the first step, so that the text differs.
func reps(t *testing.T, f *routine.File, n int) *routine.File {
	t.Helper()
	r := f.Routine()
	r.Steps[0].Reps = n
	if err := f.Set(r); err != nil {
		t.Fatal(err)
	}
	return f
}

func holds(t *testing.T, path, want string) {
	t.Helper()
	got, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != want {
		t.Errorf("%s holds\n%s\nwant\n%s", filepath.Base(path), got, want)
	}
}

// alone checks that nothing else lies in the folder of a file.
func alone(t *testing.T, path string, others ...string) {
	t.Helper()
	files, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != 1+len(others) {
		t.Errorf("the folder holds %v", files)
	}
}

func TestSave(t *testing.T) {
	path := onDisk(t)
	f := reps(t, load(t, path), 7)
	if !f.Changed() {
		t.Error("a changed file counts as saved")
	}
	if err := f.Save(); err != nil {
		t.Fatal(err)
	}
	holds(t, path, string(f.Bytes()))
	alone(t, path)
	if f.Changed() {
		t.Error("a saved file counts as changed")
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o662 {
		t.Errorf("mode %v, %v; want that of the old file", info.Mode(), err)
	}
	if err := reps(t, f, 8).Save(); err != nil {
		t.Errorf("the second save: %v", err)
	}
}

func TestSaveFollowsLinks(t *testing.T) {
	path := onDisk(t)
	link := filepath.Join(t.TempDir(), "link.yaml")
	if err := os.Symlink(path, link); err != nil {
		t.Fatal(err)
	}
	f := reps(t, load(t, link), 7)
	if err := f.Save(); err != nil {
		t.Fatal(err)
	}
	holds(t, path, string(f.Bytes()))
	if info, err := os.Lstat(link); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Errorf("the link became %v, %v", info.Mode(), err)
	}
	alone(t, link)
	if f.Path() != link {
		t.Errorf("the path became %s", f.Path())
	}
}

// Two windows on one routine: the second to save is told, loses nothing, and
// can save beside.
func TestSaveAfterAnother(t *testing.T) {
	path := onDisk(t)
	first, second := reps(t, load(t, path), 7), reps(t, load(t, path), 8)
	if err := first.Save(); err != nil {
		t.Fatal(err)
	}
	err := second.Save()
	var failed *routine.SaveError
	if !errors.Is(err, routine.ErrChanged) || !errors.As(err, &failed) {
		t.Fatalf("the second save: %v", err)
	}
	if want := "cannot save " + path + ": the file was changed by another program meanwhile; what is on the disk is as it was"; err.Error() != want {
		t.Errorf("says %q", err)
	}
	holds(t, path, string(first.Bytes()))
	alone(t, path)
	copied, err := second.SaveCopy()
	if err != nil || filepath.Base(copied) != "runs 2.yaml" || second.Path() != copied {
		t.Fatalf("the copy is %s, %v", copied, err)
	}
	holds(t, copied, string(second.Bytes()))
	third := reps(t, load(t, path), 9)
	if copied, err := third.SaveCopy(); err != nil || filepath.Base(copied) != "runs 3.yaml" {
		t.Errorf("the third is %s, %v", copied, err)
	}
	if err := reps(t, second, 3).Save(); err != nil {
		t.Errorf("the copy cannot be saved again: %v", err)
	}
}

// Many windows save at the same moment: one of them does, the others are told.
func TestSaveAtOnce(t *testing.T) {
	for range 20 {
		path := onDisk(t)
		files := make([]*routine.File, 6)
		errs := make([]error, len(files))
		for i := range files {
			files[i] = reps(t, load(t, path), 10+i)
		}
		start := make(chan struct{})
		var done sync.WaitGroup
		for i, f := range files {
			done.Go(func() {
				<-start
				errs[i] = f.Save()
			})
		}
		close(start)
		done.Wait()
		saved := -1
		for i, err := range errs {
			switch {
			case err == nil && saved >= 0:
				t.Fatal("two windows saved one over the other")
			case err == nil:
				saved = i
			case !errors.Is(err, routine.ErrChanged):
				t.Fatal(err)
			}
		}
		if saved < 0 {
			t.Fatal("no window could save")
		}
		holds(t, path, string(files[saved].Bytes()))
		alone(t, path)
	}
}

func TestSaveOfAFileThatIsGone(t *testing.T) {
	path := onDisk(t)
	f := load(t, path)
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if err := f.Save(); err != nil {
		t.Fatal(err)
	}
	holds(t, path, written)
}

func TestSaveAs(t *testing.T) {
	path := onDisk(t)
	f, err := routine.New(load(t, path).Routine())
	if err != nil {
		t.Fatal(err)
	}
	if err := f.Save(); err == nil {
		t.Error("a routine without a file was saved somewhere")
	}
	err = f.SaveAs(path)
	if !errors.Is(err, fs.ErrExist) || !strings.Contains(err.Error(), "there is a file of that name") {
		t.Errorf("over another file: %v", err)
	}
	holds(t, path, written)
	other := filepath.Join(filepath.Dir(path), "other.yaml")
	if err := f.SaveAs(other); err != nil {
		t.Fatal(err)
	}
	holds(t, other, string(f.Bytes()))
	alone(t, path, other)
	if f.Path() != other || f.Changed() {
		t.Errorf("the path is %s, changed %v", f.Path(), f.Changed())
	}
	err = f.SaveAs(filepath.Join(filepath.Dir(path), "none", "runs.yaml"))
	if err == nil || !strings.Contains(err.Error(), "the folder is not there") || f.Path() != other {
		t.Errorf("into no folder: %v, %s", err, f.Path())
	}
}

func TestFolder(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "footing", "routines")
	if list, err := routine.List(folder); err != nil || list != nil {
		t.Errorf("no folder lists %v, %v", list, err)
	}
	paths, err := routine.CopyStarters(folder)
	if err != nil || len(paths) != 3 {
		t.Fatalf("copied %v, %v", paths, err)
	}
	for _, p := range paths {
		f := load(t, p)
		if err := reps(t, f, 7).Save(); err != nil {
			t.Errorf("a starter cannot be changed: %v", err)
		}
	}
	if files, err := os.ReadDir(filepath.Dir(folder)); err != nil || len(files) != 1 {
		t.Errorf("left behind: %v, %v", files, err)
	}
	// What is there is left alone, and what was deleted stays away.
	if err := os.Remove(paths[0]); err != nil {
		t.Fatal(err)
	}
	if again, err := routine.CopyStarters(folder); err != nil || again != nil {
		t.Errorf("copied again: %v, %v", again, err)
	}
	empty := t.TempDir()
	if again, err := routine.CopyStarters(empty); err != nil || again != nil {
		t.Errorf("copied into an empty folder: %v, %v", again, err)
	}
	for name, text := range map[string]string{"broken.yaml": "footing: 1\n", "notes.txt": "x", ".hidden.yaml": written, "runs.YML": written, "fingerings.yaml": "instrument: clarinet\n"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	list, err := routine.List(folder)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range list {
		names = append(names, e.Name)
		if (e.Err != nil) != (e.Name == "broken") {
			t.Errorf("%s: %v", e.Name, e.Err)
		}
	}
	if got := strings.Join(names, ", "); got != "broken, Morning runs, Scales to warm up, Two beats of the march" {
		t.Errorf("the list is %s", got)
	}
	if !strings.HasSuffix(routine.Folder(), filepath.Join("footing", "routines")) {
		t.Errorf("the user's folder is %s", routine.Folder())
	}
}
