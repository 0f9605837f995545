package store

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"errors"
	"strings"
	"time"
	"unicode"
)

const (
	// sessionLasts is how long a browser stays signed in that is not used.
	sessionLasts = 30 * 24 * time.Hour
	// sessionMarked is how often it is written down that a session is used.
	sessionMarked = time.Hour
	// mostSessions is how many browsers may be signed in; the one unused the longest
	// goes first. All three are assumptions.
	mostSessions = 50
	// longestBrowser is how much of a browser's name is kept.
	longestBrowser = 120
	// setupLinkLasts is how long a link that sets the password is good (assumption).
	setupLinkLasts = 24 * time.Hour
)

// BeginSession signs a browser in, and gives what it is known by this once.
func (db *signIns) BeginSession(ctx context.Context, browser string) (token string, err error) {
	token = rand.Text()
	hash := sha256.Sum256([]byte(token))
	browser = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(browser, ""))
	if len(browser) > longestBrowser {
		browser = strings.ToValidUTF8(browser[:longestBrowser], "")
	}
	now := db.now().UTC()
	err = db.inWrite(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `DELETE FROM session WHERE last_used < ?`, now.Add(-sessionLasts).Format(time.RFC3339)); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, `INSERT INTO session (hash, browser, begun, last_used) VALUES (?1, ?2, ?3, ?3)`, hash[:], browser, now.Format(time.RFC3339)); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `DELETE FROM session WHERE hash NOT IN (SELECT hash FROM session ORDER BY last_used DESC, begun DESC LIMIT ?)`, mostSessions)
		return err
	})
	return token, err
}

// SessionKnown reports whether a browser is signed in by what it carries.
func (db *signIns) SessionKnown(ctx context.Context, token string) (bool, error) {
	hash := sha256.Sum256([]byte(token))
	var used string
	err := db.read.QueryRowContext(ctx, `SELECT last_used FROM session WHERE hash = ?`, hash[:]).Scan(&used)
	if errors.Is(err, sql.ErrNoRows) {
		return false, nil
	}
	if err != nil {
		return false, db.inWords(err)
	}
	last, err := time.Parse(time.RFC3339, used)
	if err != nil {
		return false, err
	}
	now := db.now().UTC()
	if now.Sub(last) > sessionLasts {
		return false, nil
	}
	if now.Sub(last) > sessionMarked {
		ctx, cancel := context.WithTimeout(ctx, markPatience)
		defer cancel()
		if err := db.inWrite(ctx, func(tx *sql.Tx) error {
			_, err := tx.ExecContext(ctx, `UPDATE session SET last_used = ? WHERE hash = ?`, now.Format(time.RFC3339), hash[:])
			return err
		}); err != nil {
			db.log.WarnContext(ctx, "the use of a session could not be kept", "error", err)
		}
	}
	return true, nil
}

// EndSession signs a browser out.
func (db *signIns) EndSession(ctx context.Context, token string) error {
	hash := sha256.Sum256([]byte(token))
	return db.inWrite(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `DELETE FROM session WHERE hash = ?`, hash[:])
		return err
	})
}

// EndAllSessions signs every browser out, and returns how many there were.
func (db *signIns) EndAllSessions(ctx context.Context) (ended int64, err error) {
	err = db.inWrite(ctx, func(tx *sql.Tx) error {
		result, err := tx.ExecContext(ctx, `DELETE FROM session`)
		if err != nil {
			return err
		}
		ended, err = result.RowsAffected()
		return err
	})
	return ended, err
}

// NewSetupLink makes the secret of a link that sets the owner's password, once and
// within a day. One made before leads nowhere any more.
func (db *signIns) NewSetupLink(ctx context.Context) (secret string, err error) {
	secret = rand.Text()
	hash := sha256.Sum256([]byte(secret))
	err = db.inWrite(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `DELETE FROM setup_link`); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO setup_link (hash, expires) VALUES (?, ?)`, hash[:], db.now().UTC().Add(setupLinkLasts).Format(time.RFC3339))
		return err
	})
	return secret, err
}

// SetupLinkKnown reports whether a link still sets the password.
func (db *signIns) SetupLinkKnown(ctx context.Context, secret string) (bool, error) {
	hash := sha256.Sum256([]byte(secret))
	var n int
	err := db.read.QueryRowContext(ctx, `SELECT count(*) FROM setup_link WHERE hash = ? AND expires > ?`, hash[:], db.now().UTC().Format(time.RFC3339)).Scan(&n)
	return n > 0, db.inWords(err)
}

// SetOwnerPasswordByLink sets the owner's password by a link, which is used up. It
// reports whether the link was good; the password is looked at only then.
func (db *signIns) SetOwnerPasswordByLink(ctx context.Context, secret, password string) (bool, error) {
	if known, err := db.SetupLinkKnown(ctx, secret); err != nil || !known {
		return false, err
	}
	hash, err := db.ownerHash(ctx, password)
	if err != nil {
		return true, err
	}
	of := sha256.Sum256([]byte(secret))
	good := false
	err = db.inWrite(ctx, func(tx *sql.Tx) error {
		result, err := tx.ExecContext(ctx, `DELETE FROM setup_link WHERE hash = ?`, of[:])
		if err != nil {
			return err
		}
		n, err := result.RowsAffected()
		if err != nil || n == 0 {
			return err
		}
		good = true
		return db.keepOwner(ctx, tx, hash)
	})
	return good, err
}
