package store

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"database/sql"
	"encoding/base64"
	"errors"
	"fmt"
	"time"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"

	"limekeep/schedule/record"
)

// The cost of argon2id for what people think up: 19 MiB, two passes, one lane, the
// least that the OWASP Password Storage Cheat Sheet names; a salt of 16 and a hash of
// 32 bytes (RFC 9106, 3.1 and 4).
const (
	ownerPasses    = 2
	ownerKiB       = 19 << 10
	ownerLanes     = 1
	ownerSaltBytes = 16
	ownerHashBytes = 32
)

const (
	// leastPassword and mostPassword are how many characters the owner's password
	// has: eight is the least of NIST SP 800-63B, 5.1.1.1.
	leastPassword = 8
	mostPassword  = 200
	// hashesAtOnce bounds how many guesses are worked on, for their memory.
	hashesAtOnce = 2
)

// hashing holds one for each hash of argon2id that is worked out.
type hashing chan struct{}

func (h hashing) hash(ctx context.Context, password string, salt []byte, passes, kib uint32, lanes uint8, size uint32) ([]byte, error) {
	select {
	case h <- struct{}{}:
		defer func() { <-h }()
		return argon2.IDKey([]byte(password), salt, passes, kib, lanes, size), nil
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
}

// SetOwnerPassword sets the password that the pages ask for, and signs everybody out.
// One that is too short or too long is a *record.FieldError.
func (db *signIns) SetOwnerPassword(ctx context.Context, password string) error {
	hash, err := db.ownerHash(ctx, password)
	if err != nil {
		return err
	}
	return db.inWrite(ctx, func(tx *sql.Tx) error { return db.keepOwner(ctx, tx, hash) })
}

// ownerHash checks a password that is to be kept, and returns its hash.
func (db *signIns) ownerHash(ctx context.Context, password string) (string, error) {
	if n := utf8.RuneCountInString(password); n < leastPassword || n > mostPassword || !utf8.ValidString(password) {
		return "", &record.FieldError{Field: "password", Want: fmt.Sprintf("%d to %d characters; several words in a row are easy to keep in mind", leastPassword, mostPassword)}
	}
	salt := make([]byte, ownerSaltBytes)
	rand.Read(salt) // it never fails
	hash, err := db.hashing.hash(ctx, password, salt, ownerPasses, ownerKiB, ownerLanes, ownerHashBytes)
	if err != nil {
		return "", err
	}
	raw := base64.RawStdEncoding
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, ownerKiB, ownerPasses, ownerLanes, raw.EncodeToString(salt), raw.EncodeToString(hash)), nil
}

// keepOwner keeps the hash of the owner's password, and ends what an older one or a
// link opened.
func (db *signIns) keepOwner(ctx context.Context, tx *sql.Tx, hash string) error {
	for _, step := range []string{`DELETE FROM session`, `DELETE FROM setup_link`} {
		if _, err := tx.ExecContext(ctx, step); err != nil {
			return err
		}
	}
	_, err := tx.ExecContext(ctx, `INSERT INTO owner (only_one, hash, changed) VALUES (1, ?, ?) ON CONFLICT (only_one) DO UPDATE SET hash = excluded.hash, changed = excluded.changed`,
		hash, db.now().UTC().Format(time.RFC3339))
	return err
}

// RemoveOwnerPassword makes the pages ask for none any more, and ends all sessions.
func (db *signIns) RemoveOwnerPassword(ctx context.Context) error {
	return db.inWrite(ctx, func(tx *sql.Tx) error {
		for _, table := range []string{"owner", "session", "setup_link"} {
			if _, err := tx.ExecContext(ctx, "DELETE FROM "+table); err != nil {
				return err
			}
		}
		return nil
	})
}

// HasOwnerPassword reports whether the pages ask for a password.
func (db *signIns) HasOwnerPassword(ctx context.Context) (bool, error) {
	hash, err := db.ownerKept(ctx)
	return hash != "", err
}

func (db *signIns) ownerKept(ctx context.Context) (string, error) {
	var hash string
	err := db.read.QueryRowContext(ctx, `SELECT hash FROM owner`).Scan(&hash)
	if errors.Is(err, sql.ErrNoRows) {
		return "", nil
	}
	return hash, db.inWords(err)
}

// CheckOwnerPassword reports whether a password is the owner's; false where there is
// none.
func (db *signIns) CheckOwnerPassword(ctx context.Context, password string) (bool, error) {
	kept, err := db.ownerKept(ctx)
	if err != nil || kept == "" {
		return false, err
	}
	var version int
	var kib, passes uint32
	var lanes uint8
	var salt64, hash64 string
	if _, err := fmt.Sscanf(phcWords(kept), "argon2id v=%d m=%d,t=%d,p=%d %s %s", &version, &kib, &passes, &lanes, &salt64, &hash64); err != nil {
		return false, fmt.Errorf("the hash of the password cannot be read; set the password anew: %w", err)
	}
	salt, err := base64.RawStdEncoding.DecodeString(salt64)
	if err != nil {
		return false, err
	}
	want, err := base64.RawStdEncoding.DecodeString(hash64)
	if err != nil {
		return false, err
	}
	if len(password) > 4*mostPassword {
		password = "" // none of that length was ever taken; hashed all the same, for the time it takes
	}
	got, err := db.hashing.hash(ctx, password, salt, passes, kib, lanes, uint32(len(want)))
	if err != nil {
		return false, err
	}
	return subtle.ConstantTimeCompare(got, want) == 1, nil
}

// phcWords writes a hash in the PHC string format with spaces between its parts.
func phcWords(hash string) string {
	words := []byte(hash)
	for i, c := range words {
		if c == '$' {
			words[i] = ' '
		}
	}
	return string(words[1:])
}
