package main

import (
	"context"

	"limekeep/cmd/limekeep/web"
	"limekeep/store"
)

// owner gives the pages the password they ask for, and who is signed in.
type owner struct{ db *store.DB }

var _ web.Owner = owner{}

// HasPassword reports whether there is a password.
func (o owner) HasPassword(ctx context.Context) (bool, error) { return o.db.HasOwnerPassword(ctx) }

// Check reports whether a password is the owner's.
func (o owner) Check(ctx context.Context, password string) (bool, error) {
	return o.db.CheckOwnerPassword(ctx, password)
}

// Begin signs a browser in.
func (o owner) Begin(ctx context.Context, browser string) (string, error) {
	return o.db.BeginSession(ctx, browser)
}

// Known reports whether a browser is signed in.
func (o owner) Known(ctx context.Context, token string) (bool, error) {
	return o.db.SessionKnown(ctx, token)
}

// End signs a browser out.
func (o owner) End(ctx context.Context, token string) error { return o.db.EndSession(ctx, token) }

// Set sets the password, or takes it away, and signs every browser out.
func (o owner) Set(ctx context.Context, password string) error {
	if password == "" {
		return o.db.RemoveOwnerPassword(ctx)
	}
	return o.db.SetOwnerPassword(ctx, password)
}

// EndAll signs every browser out.
func (o owner) EndAll(ctx context.Context) error {
	_, err := o.db.EndAllSessions(ctx)
	return err
}

// LinkKnown reports whether a link still sets the password.
func (o owner) LinkKnown(ctx context.Context, secret string) (bool, error) {
	return o.db.SetupLinkKnown(ctx, secret)
}

// SetByLink sets the password by a link.
func (o owner) SetByLink(ctx context.Context, secret, password string) (bool, error) {
	return o.db.SetOwnerPasswordByLink(ctx, secret, password)
}
