package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestABundleByCommand(t *testing.T) {
	path := write(t, runs)
	zip := filepath.Join(t.TempDir(), "runs.zip")
	if code, out, errs := run(t, "pack", path, "-o", zip); code != Done || out+errs != "" {
		t.Fatalf("status %d: %s%s", code, out, errs)
	}
	into := t.TempDir()
	code, out, errs := run(t, "unpack", zip, "--into", into)
	if at := filepath.Join(into, "runs.yaml"); code != Done || out != at+"\n" || errs != "" {
		t.Fatalf("status %d: %s%s", code, out, errs)
	} else if data, err := os.ReadFile(at); err != nil || string(data) != runs {
		t.Errorf("it came in as\n%s", data)
	}
	for _, tt := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"pack", path, "-o", "runs.tar"}, FaultUsage, "ends in .zip"},
		{[]string{"pack", filepath.Join(into, "none.yaml"), "-o", zip}, FaultInput, "none.yaml"},
		{[]string{"pack", path, "-o", filepath.Join(into, "no", "folder", "x.zip")}, FaultMachine, "x.zip"},
		{[]string{"unpack", path}, FaultInput, "this is no bundle"},
		{[]string{"unpack", filepath.Join(into, "none.zip")}, FaultInput, "no such file"},
	} {
		if code, out, errs := run(t, tt.args...); code != tt.code || out != "" || !strings.Contains(errs, tt.says) || strings.Count(errs, "\n") != 1 {
			t.Errorf("%q: status %d: %s%s", tt.args, code, out, errs)
		}
	}
}
