package main

import (
	"context"

	"limekeep/cmd/limekeep/web"
	"limekeep/store"
)

// appPasswords gives the pages the passwords of a place.
type appPasswords struct {
	db    *store.DB
	place string
}

var _ web.Apps = appPasswords{}

// List gives the apps that have a password, by name.
func (p appPasswords) List(ctx context.Context) ([]web.App, error) {
	list, err := p.db.Passwords(ctx, p.place)
	apps := make([]web.App, 0, len(list))
	for _, password := range list {
		app := web.App{Name: password.Name, Scope: string(password.Scope), Created: password.Created}
		if !password.LastUsed.IsZero() {
			app.LastUsed = &password.LastUsed
		}
		apps = append(apps, app)
	}
	return apps, err
}

// Add makes a password for an app that opens what its scope says, and gives it this once.
func (p appPasswords) Add(ctx context.Context, name, scope string) (string, error) {
	return p.db.AddPassword(ctx, p.place, name, store.Scope(scope))
}

// Revoke makes the password of an app worthless.
func (p appPasswords) Revoke(ctx context.Context, name string) error {
	return p.db.RevokePassword(ctx, p.place, name)
}
