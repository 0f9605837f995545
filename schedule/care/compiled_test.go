package care_test

import (
	"bytes"
	"os"
	"reflect"
	"testing"

	"limekeep/schedule/care"
)

const (
	catalogueText = "catalogue.yaml"
	compiledText  = "catalogue.compiled"
)

// What the program reads at its start is the catalogue, and was compiled since the
// catalogue was last changed.
func TestCompiledCatalogue(t *testing.T) {
	text, err := os.ReadFile(catalogueText)
	if err != nil {
		t.Fatal(err)
	}
	want, err := care.Compile(text)
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(compiledText, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := os.ReadFile(compiledText); err != nil || !bytes.Equal(got, want) {
		t.Errorf("%s is older than %s (%v): go test -update compiles it", compiledText, catalogueText, err)
	}
	parsed, err := care.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	read, ok := care.CompiledOf(want, text)
	if !ok || !reflect.DeepEqual(read, parsed) {
		t.Error("compiled, the catalogue says something else than its text")
	}
	if c, err := care.Embedded(); err != nil || !reflect.DeepEqual(c, parsed) {
		t.Errorf("the program reads another catalogue (%v)", err)
	}
}

// Compiled from another text, or torn, it counts for nothing.
func TestCompiledFromAnotherText(t *testing.T) {
	text, err := os.ReadFile(catalogueText)
	if err != nil {
		t.Fatal(err)
	}
	made, err := care.Compile(text)
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := care.CompiledOf(made, append(text, '\n')); ok {
		t.Error("what was compiled from another text is taken")
	}
	for _, torn := range [][]byte{nil, made[:16], made[:len(made)-1], append(bytes.Clone(made), 0)} {
		if _, ok := care.CompiledOf(torn, text); ok {
			t.Errorf("%d of %d bytes are taken", len(torn), len(made))
		}
	}
	if _, err := care.Compile([]byte("tasks: 3")); err == nil {
		t.Error("what is no catalogue is compiled")
	}
}

// What a start of the program takes to read, and would without compiling.
func BenchmarkEmbedded(b *testing.B) {
	text, err := os.ReadFile(catalogueText)
	if err != nil {
		b.Fatal(err)
	}
	for name, read := range map[string]func() (*care.Catalogue, error){
		"compiled": care.Embedded,
		"text":     func() (*care.Catalogue, error) { return care.Parse(text) },
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := read(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
