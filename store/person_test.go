package store

import (
	"context"
	"errors"
	"testing"

	"limekeep/schedule/record"
)

// An invitation signs one browser in as somebody, once; withdrawn it leads nowhere, and who
// came in by it is signed out. The owner's session is nobody else's.
func TestInvitation(t *testing.T) { onEach(t, testInvitation) }

func testInvitation(t *testing.T, open opener) {
	ctx := context.Background()
	db := open(t)
	owner, err := db.BeginSession(ctx, "a browser")
	if err != nil {
		t.Fatal(err)
	}
	secret, err := db.Invite(ctx, Person{Name: "Anna", Role: "technician", Places: []string{"blue", "red"}})
	if err != nil {
		t.Fatal(err)
	}
	if p, ok, err := db.Invited(ctx, secret); err != nil || !ok || p.Name != "Anna" || len(p.Places) != 2 {
		t.Fatalf("%+v %t %v", p, ok, err)
	}
	token, ok, err := db.Accept(ctx, secret, "a phone")
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	if _, ok, err := db.Accept(ctx, secret, "another phone"); err != nil || ok {
		t.Errorf("the link was taken twice: %t, %v", ok, err)
	}
	if p, ok, err := db.PersonOf(ctx, token); err != nil || !ok || p.Role != "technician" || p.Places[1] != "red" {
		t.Errorf("%+v %t %v", p, ok, err)
	}
	if p, ok, err := db.PersonOf(ctx, owner); err != nil || ok {
		t.Errorf("the owner is taken for %+v, %v", p, err)
	}
	if _, err := db.Invite(ctx, Person{Name: "Anna", Role: "reader"}); err != nil {
		t.Fatal(err)
	}
	if p, _, _ := db.PersonOf(ctx, token); p.Role != "reader" || len(p.Places) != 0 {
		t.Errorf("what was said last does not hold: %+v", p)
	}
	if err := db.ChangePerson(ctx, Person{Name: "Anna", Role: "technician", Places: []string{"red"}}); err != nil {
		t.Fatal(err)
	}
	if p, _, _ := db.PersonOf(ctx, token); p.Role != "technician" || len(p.Places) != 1 {
		t.Errorf("changed, they are %+v", p)
	}
	var wrong *record.FieldError
	if err := db.ChangePerson(ctx, Person{Name: "Anna", Role: "owner"}); !errors.As(err, &wrong) {
		t.Errorf("somebody is made the owner: %v", err)
	}
	if err := db.ChangePerson(ctx, Person{Name: "Nobody", Role: "staff"}); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("nobody is changed: %v", err)
	}
	second, err := db.Invite(ctx, Person{Name: "Anna", Role: "staff"})
	if err != nil {
		t.Fatal(err)
	}
	if err := db.RemovePerson(ctx, "Anna"); err != nil {
		t.Fatal(err)
	}
	if _, ok, err := db.Invited(ctx, second); ok || err != nil {
		t.Errorf("a link that was withdrawn leads somewhere: %v", err)
	}
	if known, err := db.SessionKnown(ctx, token); known || err != nil {
		t.Errorf("who was withdrawn is signed in: %v", err)
	}
	if known, err := db.SessionKnown(ctx, owner); !known || err != nil {
		t.Errorf("the owner was signed out: %v", err)
	}
	if err := db.RemovePerson(ctx, "Anna"); !errors.Is(err, record.ErrUnknown) {
		t.Errorf("nobody is removed: %v", err)
	}
	for _, p := range []Person{{Name: "", Role: "staff"}, {Name: "B", Role: "owner"}, {Name: "B\n", Role: "cook"}} {
		var wrong *record.FieldError
		if _, err := db.Invite(ctx, p); !errors.As(err, &wrong) {
			t.Errorf("%+v: %v", p, err)
		}
	}
}
