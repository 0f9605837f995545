package foreign

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// What others report is said in our words, wherever in an error it stands; what we say
// ourselves stays.
func TestInOurWords(t *testing.T) {
	_, missing := os.Open(filepath.Join("nowhere", "kitchen.yaml"))
	_, number := strconv.Atoi("many")
	var object struct{ Shots int }
	syntax := json.Unmarshal([]byte(`{"shots":}`), &object)
	kind := json.Unmarshal([]byte(`{"shots":"two"}`), &object)
	_, address := net.ResolveTCPAddr("tcp", "127.0.0.1")
	for _, test := range []struct {
		err  error
		want string
	}{
		{errors.New("the dose is larger than the yield"), "the dose is larger than the yield"},
		{missing, filepath.Join("nowhere", "kitchen.yaml") + ": there is no such file or folder"},
		{fmt.Errorf("settings: %s cannot be read: %w", filepath.Join("nowhere", "kitchen.yaml"), missing), "settings: " + filepath.Join("nowhere", "kitchen.yaml") + " cannot be read: there is no such file or folder"},
		{errors.Join(errors.New("one"), fmt.Errorf("two: %w", io.ErrUnexpectedEOF)), "one\ntwo: it ends before it should"},
		{fmt.Errorf("--shots: %w", number), "--shots: it is no whole number"},
		{fmt.Errorf("line 3: %w", syntax), "line 3: from character 10 on it is no JSON"},
		{kind, "Shots: a string cannot stand there"},
		{fmt.Errorf("records in a file have no jobs: %w", errors.ErrUnsupported), "records in a file have no jobs"},
		{address, `"127.0.0.1" has no port behind a colon`},
		{errors.New("not YAML: line 2: mapping values are not allowed in this context"), "not YAML: line 2: a colon stands where none can: put a text that holds one in quotes"},
	} {
		if got := InOurWords(test.err); got != test.want && !strings.EqualFold(got, test.want) {
			t.Errorf("%v is told as %q, want %q", test.err, got, test.want)
		}
	}
}
