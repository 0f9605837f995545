package store

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"database/sql"
	"errors"
	"slices"
	"strings"
	"time"

	"limekeep/schedule/record"
)

// Person is somebody who may come in beside the owner.
type Person struct {
	Name   string   // 1 to 60 characters
	Role   string   // one of Roles
	Places []string // ids; empty for all
}

// Roles are what somebody can be beside the owner.
func Roles() []string { return []string{"technician", "staff", "reader"} }

// invitationLasts is how long a link that signs somebody in is good (assumption).
const invitationLasts = 7 * 24 * time.Hour

// Invite lets somebody come in, or changes what as, and gives the secret of a link that
// signs one browser in as them, once and within a week. A name or a role that cannot be
// taken is a *record.FieldError. Who is signed in already stays so, with what is said now.
func (db *people) Invite(ctx context.Context, p Person) (secret string, err error) {
	if p.Name, err = appName(p.Name); err != nil {
		return "", err
	}
	if !slices.Contains(Roles(), p.Role) {
		return "", &record.FieldError{Field: "role", Value: p.Role, Want: "technician, staff or reader"}
	}
	secret = rand.Text()
	hash := sha256.Sum256([]byte(secret))
	now := db.now().UTC()
	err = db.inWrite(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `INSERT INTO person (name, role, places, created) VALUES (?, ?, ?, ?) ON CONFLICT (name) DO UPDATE SET role = excluded.role, places = excluded.places`,
			p.Name, p.Role, strings.Join(p.Places, ","), now.Format(time.RFC3339)); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, `DELETE FROM invitation WHERE expires <= ?`, now.Format(time.RFC3339)); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO invitation (hash, person, expires) VALUES (?, ?, ?)`, hash[:], p.Name, now.Add(invitationLasts).Format(time.RFC3339))
		return err
	})
	return secret, db.inWords(err)
}

// Invited returns whom a link signs in; false where it leads nowhere, or no longer.
func (db *people) Invited(ctx context.Context, secret string) (Person, bool, error) {
	hash := sha256.Sum256([]byte(secret))
	return db.person(ctx, `SELECT p.name, p.role, p.places FROM invitation i JOIN person p ON p.name = i.person WHERE i.hash = ? AND i.expires > ?`,
		hash[:], db.now().UTC().Format(time.RFC3339))
}

// Accept signs a browser in by a link, which is used up, and gives what it is known by this
// once; false where the link leads nowhere.
func (db *people) Accept(ctx context.Context, secret, browser string) (token string, ok bool, err error) {
	p, ok, err := db.Invited(ctx, secret)
	if err != nil || !ok {
		return "", false, err
	}
	if token, err = db.sessions.BeginSession(ctx, browser); err != nil {
		return "", false, err
	}
	link, session := sha256.Sum256([]byte(secret)), sha256.Sum256([]byte(token))
	err = db.inWrite(ctx, func(tx *sql.Tx) error {
		ok = false
		result, err := tx.ExecContext(ctx, `DELETE FROM invitation WHERE hash = ?`, link[:])
		if err != nil {
			return err
		}
		used, err := result.RowsAffected()
		if err != nil || used == 0 { // somebody else was quicker: what was begun is nobody's
			_, err = tx.ExecContext(ctx, `DELETE FROM session WHERE hash = ?`, session[:])
			return err
		}
		ok = true
		_, err = tx.ExecContext(ctx, `INSERT INTO session_person (hash, person) VALUES (?, ?)`, session[:], p.Name)
		return err
	})
	if err != nil || !ok {
		return "", false, errors.Join(db.inWords(err), db.sessions.EndSession(context.WithoutCancel(ctx), token))
	}
	return token, true, nil
}

// PersonOf returns whose a session is; false for the owner's.
func (db *people) PersonOf(ctx context.Context, token string) (Person, bool, error) {
	hash := sha256.Sum256([]byte(token))
	return db.person(ctx, `SELECT p.name, p.role, p.places FROM session_person s JOIN person p ON p.name = s.person WHERE s.hash = ?`, hash[:])
}

func (db *people) person(ctx context.Context, query string, args ...any) (Person, bool, error) {
	var p Person
	var places string
	err := db.read.QueryRowContext(ctx, query, args...).Scan(&p.Name, &p.Role, &places)
	if errors.Is(err, sql.ErrNoRows) {
		return Person{}, false, nil
	}
	if places != "" {
		p.Places = strings.Split(places, ",")
	}
	return p, err == nil, db.inWords(err)
}

// People lists who may come in beside the owner, by name.
func (db *people) People(ctx context.Context) ([]Person, error) {
	all := []Person{}
	err := db.inRead(ctx, func(tx *sql.Tx) error {
		return each(ctx, tx, func(rows *sql.Rows) error {
			var p Person
			var places string
			if err := rows.Scan(&p.Name, &p.Role, &places); err != nil {
				return err
			}
			if places != "" {
				p.Places = strings.Split(places, ",")
			}
			all = append(all, p)
			return nil
		}, `SELECT name, role, places FROM person ORDER BY name`)
	})
	return all, err
}

// ChangePerson changes what somebody is and where they may come to, for those who are
// signed in as well. A role that cannot be taken is a *record.FieldError, a name of nobody
// an error that matches record.ErrUnknown.
func (db *people) ChangePerson(ctx context.Context, p Person) error {
	if !slices.Contains(Roles(), p.Role) {
		return &record.FieldError{Field: "role", Value: p.Role, Want: "technician, staff or reader"}
	}
	changed := int64(0)
	err := db.inWrite(ctx, func(tx *sql.Tx) error {
		result, err := tx.ExecContext(ctx, `UPDATE person SET role = ?, places = ? WHERE name = ?`, p.Role, strings.Join(p.Places, ","), p.Name)
		if err != nil {
			return err
		}
		changed, err = result.RowsAffected()
		return err
	})
	if err != nil || changed > 0 {
		return db.inWords(err)
	}
	return db.nobody(ctx, p.Name)
}

// nobody says that nobody is called so, and who there is.
func (db *people) nobody(ctx context.Context, name string) error {
	unknown := &record.UnknownError{What: "person", Name: name}
	people, err := db.People(ctx)
	for _, p := range people {
		unknown.Known = append(unknown.Known, p.Name)
	}
	return errors.Join(err, unknown)
}

// RemovePerson withdraws what somebody was given: their links lead nowhere, and they are
// signed out at once. A name of nobody is an error that matches record.ErrUnknown.
func (db *people) RemovePerson(ctx context.Context, name string) error {
	name = strings.TrimSpace(name)
	gone := int64(0)
	err := db.inWrite(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, `DELETE FROM session WHERE hash IN (SELECT hash FROM session_person WHERE person = ?)`, name); err != nil {
			return err
		}
		result, err := tx.ExecContext(ctx, `DELETE FROM person WHERE name = ?`, name)
		if err != nil {
			return err
		}
		gone, err = result.RowsAffected()
		return err
	})
	if err != nil || gone > 0 {
		return db.inWords(err)
	}
	return db.nobody(ctx, name)
}
