package store

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"golang.org/x/crypto/argon2"

	"limekeep/schedule/record"
)

// RFC 9106, 5.3: the test vector of argon2id has a secret and associated data, which
// the library's function does not take; so the check is of the library's own vector
// for what is used here: password "password", salt "somesalt", 1 pass, 64 KiB, 1 lane
// (phc-winner-argon2, test.c, as golang.org/x/crypto/argon2 has it).
func TestArgonIsArgon(t *testing.T) {
	const want = "655ad15eac652dc59f7170a7332bf49b8469be1fdb9c28bb"
	got := argon2.IDKey([]byte("password"), []byte("somesalt"), 1, 64, 1, 24)
	if text := hexOf(got); text != want {
		t.Errorf("argon2id gives %s, want %s", text, want)
	}
}

func hexOf(data []byte) string {
	const digits = "0123456789abcdef"
	var b strings.Builder
	for _, c := range data {
		b.WriteByte(digits[c>>4])
		b.WriteByte(digits[c&15])
	}
	return b.String()
}

func TestOwnerPassword(t *testing.T) { onEach(t, testOwnerPassword) }

func testOwnerPassword(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	if has, err := db.HasOwnerPassword(ctx); has || err != nil {
		t.Fatalf("a new file has a password: %t, %v", has, err)
	}
	if ok, err := db.CheckOwnerPassword(ctx, ""); ok || err != nil {
		t.Errorf("no password lets in: %t, %v", ok, err)
	}
	for _, bad := range []string{"", "seven77", strings.Repeat("x", 201), "\xff\xff\xff\xff\xff\xff\xff\xff"} {
		var field *record.FieldError
		if err := db.SetOwnerPassword(ctx, bad); !errors.As(err, &field) || field.Value != "" {
			t.Errorf("%q: %v, want an error that does not say it", bad, err)
		}
	}
	const password = "steam, lime & patience"
	if err := db.SetOwnerPassword(ctx, password); err != nil {
		t.Fatal(err)
	}
	for given, want := range map[string]bool{password: true, "Steam, lime & patience": false, password + " ": false, "": false, strings.Repeat("y", 100_000): false} {
		if ok, err := db.CheckOwnerPassword(ctx, given); ok != want || err != nil {
			t.Errorf("%.30q: %t, %v", given, ok, err)
		}
	}
	kept, err := db.ownerKept(ctx)
	if err != nil || !strings.HasPrefix(kept, "$argon2id$v=19$m=19456,t=2,p=1$") || strings.Contains(kept, "steam") {
		t.Errorf("kept as %q, %v", kept, err)
	}
	if err := db.RemoveOwnerPassword(ctx); err != nil {
		t.Fatal(err)
	}
	if has, _ := db.HasOwnerPassword(ctx); has {
		t.Error("the password is still there")
	}
}

func TestSessions(t *testing.T) { onEach(t, testSessions) }

func testSessions(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	now := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	db.now = func() time.Time { return now }
	known := func(token string) bool {
		t.Helper()
		ok, err := db.SessionKnown(ctx, token)
		if err != nil {
			t.Fatal(err)
		}
		return ok
	}
	begin := func() string {
		t.Helper()
		token, err := db.BeginSession(ctx, "a browser\x00\nof\xff some kind")
		if err != nil {
			t.Fatal(err)
		}
		return token
	}
	one, other := begin(), begin()
	if one == other || !known(one) || !known(other) || known("") || known(one[1:]) {
		t.Error("sessions are not told apart")
	}
	now = now.Add(20 * 24 * time.Hour)
	if !known(one) {
		t.Error("gone after twenty days")
	}
	now = now.Add(20 * 24 * time.Hour)
	if !known(one) || known(other) {
		t.Error("the one that was used should be there after forty days, the other not")
	}
	if err := db.EndSession(ctx, one); err != nil || known(one) {
		t.Errorf("ended and still there: %v", err)
	}
	before := begin()
	if err := db.SetOwnerPassword(ctx, "another password"); err != nil || known(before) {
		t.Errorf("another password leaves a session open: %v", err)
	}
	first := begin()
	for range mostSessions {
		now = now.Add(time.Second)
		begin()
	}
	if known(first) {
		t.Error("there is no end to sessions")
	}
	if n, err := db.EndAllSessions(ctx); n != mostSessions || err != nil {
		t.Errorf("%d ended, %v", n, err)
	}
}

func TestSetupLinkIsGoodOnce(t *testing.T) { onEach(t, testSetupLinkIsGoodOnce) }

func testSetupLinkIsGoodOnce(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	now := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	db.now = func() time.Time { return now }
	link := func() string {
		t.Helper()
		secret, err := db.NewSetupLink(ctx)
		if err != nil {
			t.Fatal(err)
		}
		return secret
	}
	old := link()
	secret := link()
	for _, bad := range []string{old, "", secret[1:]} {
		if good, err := db.SetOwnerPasswordByLink(ctx, bad, "a good password"); good || err != nil {
			t.Errorf("%q sets the password: %t, %v", bad, good, err)
		}
	}
	if good, err := db.SetOwnerPasswordByLink(ctx, secret, "short"); !good || err == nil {
		t.Errorf("a short password: %t, %v", good, err)
	}
	if good, err := db.SetOwnerPasswordByLink(ctx, secret, "a good password"); !good || err != nil {
		t.Errorf("%t, %v", good, err)
	}
	if good, err := db.SetOwnerPasswordByLink(ctx, secret, "a second password"); good || err != nil {
		t.Errorf("the link is good twice: %t, %v", good, err)
	}
	if ok, _ := db.CheckOwnerPassword(ctx, "a good password"); !ok {
		t.Error("the password is not the one set")
	}
	late := link()
	now = now.Add(setupLinkLasts)
	if good, _ := db.SetOwnerPasswordByLink(ctx, late, "a late password"); good {
		t.Error("a link of yesterday is still good")
	}
}

// What a password was made for is all it opens.
func TestScopes(t *testing.T) { onEach(t, testScopes) }

func testScopes(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	for _, scope := range Scopes() {
		password, err := db.AddPassword(ctx, "home", "for "+string(scope), scope)
		if err != nil {
			t.Fatal(err)
		}
		for _, asked := range Scopes() {
			_, ok, err := db.CheckPassword(ctx, "home", password, asked)
			if want := asked == scope || scope == ScopeAll; ok != want || err != nil {
				t.Errorf("one for %s opens %s: %t, %v", scope, asked, ok, err)
			}
		}
	}
	if _, err := db.AddPassword(ctx, "home", "x", "everything"); err == nil {
		t.Error("a password for a scope that is none was made")
	}
}
