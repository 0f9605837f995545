package store

import (
	"bytes"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"database/sql"
	"encoding/base32"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"limekeep/schedule/record"
)

// Password is what is known of an app's password once it was made: never the
// password itself, nor what it could be found out from.
type Password struct {
	Name     string      // of the app, 1 to 60 characters
	Scope    Scope       // what it opens
	Created  time.Time   // in UTC, to the second
	LastUsed record.Date // the day in UTC; zero where it never was
}

// Scope is what a password of an app opens.
type Scope string

// Scopes.
const (
	ScopeTasks Scope = "tasks" // the to-dos, for task apps
	ScopeFeed  Scope = "feed"  // the calendar, to read
	ScopeUse   Scope = "use"   // writing use down
	ScopeAll   Scope = "all"   // whatever the owner may do
)

// Scopes lists them all.
func Scopes() []Scope { return []Scope{ScopeTasks, ScopeFeed, ScopeUse, ScopeAll} }

// opens reports whether a password of the scope opens what asks for another.
func (s Scope) opens(asked Scope) bool { return s == asked || s == ScopeAll }

const (
	// groups of groupLetters base32 letters make a password: 125 bits of chance.
	groups       = 5
	groupLetters = 5
	// longestName is the most characters of an app's name.
	longestName = 60
	// markPatience is how long a check may wait to write that a password was
	// used today; the next check tries again. Assumption.
	markPatience = time.Second
)

// AddPassword makes a password for an app at a place that opens what its scope says,
// and gives it this once. A name that is empty, too long, holds control characters or has a password
// already is a *record.FieldError.
func (db *appPasswords) AddPassword(ctx context.Context, place, name string, scope Scope) (password string, err error) {
	if name, err = appName(name); err != nil {
		return "", err
	}
	if !slices.Contains(Scopes(), scope) {
		return "", &record.FieldError{Field: "scope", Value: string(scope), Want: "tasks, feed, use or all"}
	}
	password = newPassword()
	hash := passwordHash(password)
	taken := false
	err = db.inWrite(ctx, func(tx *sql.Tx) error {
		result, err := tx.ExecContext(ctx, `INSERT INTO app_password (place, name, hash, created, scope) VALUES (?, ?, ?, ?, ?) ON CONFLICT (place, name) DO NOTHING`,
			place, name, hash[:], db.now().UTC().Format(time.RFC3339), string(scope))
		if err != nil {
			return err
		}
		added, err := result.RowsAffected()
		taken = added == 0
		return err
	})
	if err != nil {
		return "", fmt.Errorf("the password of %q: %w", name, err)
	}
	if taken {
		return "", &record.FieldError{Field: "name", Value: name, Want: "another name, since this one has a password already; or revoke that first"}
	}
	return password, nil
}

// Passwords lists the passwords of a place, by name.
func (db *appPasswords) Passwords(ctx context.Context, place string) ([]Password, error) {
	list := []Password{}
	err := db.inRead(ctx, func(tx *sql.Tx) error {
		return each(ctx, tx, func(rows *sql.Rows) error {
			var p Password
			var created, used string
			if err := rows.Scan(&p.Name, &p.Scope, &created, &used); err != nil {
				return err
			}
			var err error
			if p.Created, err = time.Parse(time.RFC3339, created); err != nil {
				return err
			}
			if used != "" {
				p.LastUsed, err = record.ParseDate(used)
			}
			list = append(list, p)
			return err
		}, `SELECT name, scope, created, coalesce(last_used, '') FROM app_password WHERE place = ? ORDER BY name`, place)
	})
	if err != nil {
		return nil, fmt.Errorf("the app passwords of %s: %w", place, err)
	}
	return list, nil
}

// RevokePassword makes the password of an app worthless at once. A name without
// a password is an error that matches record.ErrUnknown.
func (db *appPasswords) RevokePassword(ctx context.Context, place, name string) error {
	name = strings.TrimSpace(name)
	gone := int64(0)
	err := db.inWrite(ctx, func(tx *sql.Tx) error {
		result, err := tx.ExecContext(ctx, `DELETE FROM app_password WHERE place = ? AND name = ?`, place, name)
		if err != nil {
			return err
		}
		gone, err = result.RowsAffected()
		return err
	})
	if err != nil {
		return fmt.Errorf("the password of %q: %w", name, err)
	}
	if gone > 0 {
		return nil
	}
	list, err := db.Passwords(ctx, place)
	if err != nil {
		return err
	}
	unknown := &record.UnknownError{What: "app password", Name: name}
	for _, p := range list {
		unknown.Known = append(unknown.Known, p.Name)
	}
	return unknown
}

// CheckPassword reports whether a password is one of a place's that opens what is
// asked for, and the name of the app it was made for. Hyphens, spaces and case do not count. It writes at
// most once a day and password; where that fails, the password is still right.
func (db *appPasswords) CheckPassword(ctx context.Context, place, password string, asked Scope) (name string, ok bool, err error) {
	given := passwordHash(password)
	var used string
	err = db.inRead(ctx, func(tx *sql.Tx) error {
		return each(ctx, tx, func(rows *sql.Rows) error {
			var known, lastUsed string
			var hash []byte
			var scope Scope
			if err := rows.Scan(&known, &hash, &lastUsed, &scope); err != nil {
				return err
			}
			// All are looked at, each in constant time.
			if subtle.ConstantTimeCompare(hash, given[:]) == 1 && scope.opens(asked) {
				name, used, ok = known, lastUsed, true
			}
			return nil
		}, `SELECT name, hash, coalesce(last_used, ''), scope FROM app_password WHERE place = ?`, place)
	})
	if err != nil {
		return "", false, fmt.Errorf("the app passwords of %s: %w", place, err)
	}
	if today := db.now().UTC().Format(time.DateOnly); ok && used < today {
		db.markUsed(ctx, place, name, today)
	}
	return name, ok, nil
}

// markUsed keeps the day on which a password was last used.
func (db *appPasswords) markUsed(ctx context.Context, place, name, today string) {
	ctx, cancel := context.WithTimeout(ctx, markPatience)
	defer cancel()
	err := db.inWrite(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `UPDATE app_password SET last_used = ? WHERE place = ? AND name = ?`, today, place, name)
		return err
	})
	if err != nil {
		db.log.WarnContext(ctx, "the day of use of an app password could not be kept", "app", name, "error", err)
	}
}

// newPassword makes a password that can be typed on a phone, such as
// "k3v7q-2mwah-x5tdn-6byfe-pz4rj": letters of base32 (RFC 4648, 6), which has
// neither 0 nor 1.
func newPassword() string {
	random := make([]byte, (groups*groupLetters*5+7)/8)
	rand.Read(random) // it never fails: the program ends where there is no chance to be had
	letters := strings.ToLower(base32.StdEncoding.EncodeToString(random))[:groups*groupLetters]
	parts := slices.Collect(slices.Chunk([]byte(letters), groupLetters))
	return string(bytes.Join(parts, []byte("-")))
}

// passwordHash is what is kept of a password. A slow, salted hash guards
// passwords that people think up, since those can be guessed; one with 125 bits
// of chance cannot, however fast a guess is tried, so plain SHA-256 is enough.
func passwordHash(password string) [sha256.Size]byte {
	plain := strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.Is(unicode.Pd, r) { // phones like to make dashes of hyphens
			return -1
		}
		return unicode.ToLower(r)
	}, password)
	return sha256.Sum256([]byte(plain))
}

// appName checks the name of an app.
func appName(name string) (string, error) {
	name = strings.TrimSpace(name)
	if n := utf8.RuneCountInString(name); n < 1 || n > longestName || !utf8.ValidString(name) || strings.ContainsFunc(name, unicode.IsControl) {
		return "", &record.FieldError{Field: "name", Value: name, Want: fmt.Sprintf("a name of 1 to %d characters, such as Phone", longestName)}
	}
	return name, nil
}
