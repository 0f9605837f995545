package store

import (
	"bytes"
	"context"
	"errors"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"limekeep/schedule/record"
)

// mustAdd makes a password at "home".
func mustAdd(t *testing.T, db *DB, name string) string {
	t.Helper()
	password, err := db.AddPassword(context.Background(), "home", name, ScopeTasks)
	if err != nil {
		t.Fatal(err)
	}
	return password
}

// checked returns the app whose password it is at a place, empty for nobody's.
func checked(t *testing.T, db *DB, place, password string) string {
	t.Helper()
	name, ok, err := db.CheckPassword(context.Background(), place, password, ScopeTasks)
	if err != nil {
		t.Fatal(err)
	}
	if ok != (name != "") {
		t.Errorf("%q at %s: ok is %v with the name %q", password, place, ok, name)
	}
	return name
}

func TestPasswordIsChecked(t *testing.T) { onEach(t, testPasswordIsChecked) }

func testPasswordIsChecked(t *testing.T, open opener) {
	db := open(t)
	phone, desk := mustAdd(t, db, "Phone"), mustAdd(t, db, "  Desk, Küche 🫖 ")
	if phone == desk {
		t.Fatal("two apps share a password")
	}
	// 25 letters of 5 bits each (RFC 4648, 6, table 3).
	form := regexp.MustCompile(`^([a-z2-7]{5}-){4}[a-z2-7]{5}$`)
	if !form.MatchString(phone) {
		t.Errorf("%q cannot be typed as promised", phone)
	}
	plain := strings.ReplaceAll(phone, "-", "")
	for _, c := range []struct{ place, password, want string }{
		{"home", phone, "Phone"},
		{"home", desk, "Desk, Küche 🫖"},
		{"home", plain, "Phone"},
		{"home", strings.ToUpper(phone), "Phone"},
		{"home", "  " + strings.ReplaceAll(phone, "-", " ") + "\n", "Phone"},
		{"home", strings.ReplaceAll(phone, "-", "–"), "Phone"}, // as a phone writes it
		{"bar", phone, ""},
		{"home", "", ""},
		{"home", "-----", ""},
		{"home", plain[:24], ""},
		{"home", plain + "a", ""},
		{"home", phone + desk, ""},
		{"home", strings.Repeat("x", 100_000), ""},
	} {
		if got := checked(t, db, c.place, c.password); got != c.want {
			t.Errorf("%q at %s is the password of %q, not of %q", c.password, c.place, got, c.want)
		}
	}
}

func TestPasswordIsRevoked(t *testing.T) { onEach(t, testPasswordIsRevoked) }

func testPasswordIsRevoked(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	old, other := mustAdd(t, db, "Phone"), mustAdd(t, db, "Desk")
	var taken *record.FieldError
	if _, err := db.AddPassword(ctx, "home", " Phone ", ScopeTasks); !errors.As(err, &taken) || taken.Field != "name" {
		t.Errorf("a second password for one app: %v", err)
	}
	if checked(t, db, "home", old) != "Phone" {
		t.Error("the refusal broke the password that is there")
	}
	if _, err := db.AddPassword(ctx, "bar", "Phone", ScopeTasks); err != nil {
		t.Errorf("the same name at another place: %v", err)
	}
	if err := db.RevokePassword(ctx, "home", "Phone"); err != nil {
		t.Fatal(err)
	}
	if got := checked(t, db, "home", old); got != "" {
		t.Errorf("revoked, it is still the password of %q", got)
	}
	if checked(t, db, "home", other) != "Desk" {
		t.Error("another app lost its password")
	}
	again := mustAdd(t, db, "Phone")
	if checked(t, db, "home", again) != "Phone" || checked(t, db, "home", old) != "" {
		t.Error("a name made again brings its old password back, or does not work")
	}
	err := db.RevokePassword(ctx, "home", "Kettle")
	if !errors.Is(err, record.ErrUnknown) || !strings.Contains(err.Error(), "Phone") {
		t.Errorf("a name without a password: %v", err)
	}
	if err := db.RevokePassword(ctx, "attic", "Phone"); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("a place without passwords: %v", err)
	}
}

func TestPasswordNames(t *testing.T) { onEach(t, testPasswordNames) }

func testPasswordNames(t *testing.T, open opener) {
	db := open(t)
	for _, c := range []struct {
		name string
		ok   bool
	}{
		{"a", true},
		{strings.Repeat("ü", 60), true},
		{`<b>"; DROP TABLE app_password; --`, true},
		{"", false},
		{" \t ", false},
		{strings.Repeat("ü", 61), false},
		{"two\nlines", false},
		{"nul\x00", false},
		{"\xff\xfe", false},
	} {
		password, err := db.AddPassword(context.Background(), "home", c.name, ScopeTasks)
		var wrong *record.FieldError
		switch {
		case c.ok && err != nil:
			t.Errorf("%q: %v", c.name, err)
		case !c.ok && (!errors.As(err, &wrong) || password != ""):
			t.Errorf("%q is taken: %v", c.name, err)
		}
	}
}

// The day of use is written at most once a day; the hash and the password are
// nowhere to be seen.
func TestPasswordsAreListed(t *testing.T) { onEach(t, testPasswordsAreListed) }

func testPasswordsAreListed(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	now := time.Date(2026, time.May, 1, 23, 30, 0, 999, time.FixedZone("west", -3600))
	db.now = func() time.Time { return now }
	phone := mustAdd(t, db, "Phone")
	mustAdd(t, db, "Desk")
	list := func() []Password {
		list, err := db.Passwords(ctx, "home")
		if err != nil {
			t.Fatal(err)
		}
		return list
	}
	created := time.Date(2026, time.May, 2, 0, 30, 0, 0, time.UTC)
	want := []Password{{Name: "Desk", Scope: ScopeTasks, Created: created}, {Name: "Phone", Scope: ScopeTasks, Created: created}}
	if diff := cmp.Diff(want, list()); diff != "" {
		t.Error(diff)
	}
	if list, err := db.Passwords(ctx, "bar"); err != nil || len(list) != 0 {
		t.Errorf("another place has %v, %v", list, err)
	}
	count := "SELECT total_changes()"
	if db.OnServer() { // what is written takes a number for its transaction
		count = "SELECT pg_snapshot_xmax(pg_current_snapshot())::text::bigint"
	}
	changes := func() int {
		var n int
		if err := db.write.QueryRowContext(ctx, count).Scan(&n); err != nil {
			t.Fatal(err)
		}
		return n
	}
	for _, step := range []struct {
		later  time.Duration
		writes int
		used   record.Date
	}{
		{0, 1, day(2)},
		{time.Hour, 0, day(2)},
		{24 * time.Hour, 1, day(3)},
		{-24 * time.Hour, 0, day(3)}, // a clock that was put back
	} {
		now = now.Add(step.later)
		before := changes()
		checked(t, db, "home", phone)
		checked(t, db, "home", "wrong")
		if got := changes() - before; got != step.writes {
			t.Errorf("at %s two checks wrote %d times, not %d", now, got, step.writes)
		}
		if got := list()[1].LastUsed; got != step.used {
			t.Errorf("at %s it was last used on %s, not on %s", now, got, step.used)
		}
	}
	if !list()[0].LastUsed.IsZero() {
		t.Error("a password that nobody used was used")
	}
}

// Whoever gets at the file gets at no password.
func TestPasswordIsNotInTheFile(t *testing.T) {
	db := openTest(t)
	password := mustAdd(t, db, "Phone")
	checked(t, db, "home", password)
	for _, path := range []string{db.path, db.path + "-wal"} {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for _, text := range []string{password, strings.ReplaceAll(password, "-", "")} {
			if bytes.Contains(bytes.ToLower(data), []byte(text)) {
				t.Errorf("%s holds the password", path)
			}
		}
	}
}

// A check reads a few rows and, after the first of the day, writes nothing.
func BenchmarkCheckPassword(b *testing.B) {
	db := openTest(b)
	ctx := context.Background()
	password, err := db.AddPassword(ctx, "home", "Phone", ScopeTasks)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, ok, err := db.CheckPassword(ctx, "home", password, ScopeTasks); !ok || err != nil {
			b.Fatal(ok, err)
		}
	}
}
