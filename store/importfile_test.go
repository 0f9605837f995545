package store

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What is no export, or is cut short, leaves nothing behind: the next command would else find
// records that are empty.
func TestWhatIsNoExportLeavesNoFile(t *testing.T) {
	for name, text := range map[string]string{
		"nothing":   "",
		"prose":     "this is no export\n",
		"cut short": "{\"limekeep_export\":1}\n",
	} {
		t.Run(name, func(t *testing.T) {
			folder := t.TempDir()
			if n, err := ImportFile(context.Background(), filepath.Join(folder, "records.db"), strings.NewReader(text), nil); err == nil {
				t.Errorf("it is taken for an export of %d records", n)
			}
			left, err := os.ReadDir(folder)
			if err != nil || len(left) > 0 {
				t.Errorf("%v, %v are left behind", err, left)
			}
		})
	}
}

// A file that another program began meanwhile stays as it is.
func TestImportFileTakesNoPlace(t *testing.T) {
	ctx := context.Background()
	from := openTest(t)
	var export strings.Builder
	if _, err := from.Export(ctx, &export); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "records.db")
	if _, err := ImportFile(ctx, path, strings.NewReader(export.String()), nil); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := ImportFile(ctx, path, strings.NewReader(export.String()), nil); err == nil || !strings.Contains(err.Error(), path) {
		t.Errorf("error %v, want one that names the file that is there", err)
	}
	if after, err := os.ReadFile(path); err != nil || string(after) != string(before) {
		t.Errorf("%v: the file that was there is another", err)
	}
}
