package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"limekeep/cmd/limekeep/web"
	"limekeep/cmd/limekeep/web/roles"
	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/store"
)

// people gives the pages who may come in beside the owner.
type people struct{ db *store.DB }

var _ web.People = people{}

func personOf(p store.Person, ok bool, err error) (*web.Person, error) {
	if err != nil || !ok {
		return nil, err
	}
	return &web.Person{Name: p.Name, Role: roles.Role(p.Role), Places: p.Places}, nil
}

// Of returns whose a session is; nil for the owner's.
func (p people) Of(ctx context.Context, token string) (*web.Person, error) {
	return personOf(p.db.PersonOf(ctx, token))
}

// Invited returns whom a link signs in; nil where it leads nowhere.
func (p people) Invited(ctx context.Context, secret string) (*web.Person, error) {
	return personOf(p.db.Invited(ctx, secret))
}

// Accept signs a browser in by a link.
func (p people) Accept(ctx context.Context, secret, browser string) (string, bool, error) {
	return p.db.Accept(ctx, secret, browser)
}

// List lists who was let in or invited.
func (p people) List(ctx context.Context) ([]web.Person, error) {
	all, err := p.db.People(ctx)
	if err != nil {
		return nil, err
	}
	list := make([]web.Person, len(all))
	for i, one := range all {
		list[i] = web.Person{Name: one.Name, Role: roles.Role(one.Role), Places: one.Places}
	}
	return list, nil
}

// Invite lets somebody come in, and gives the secret of a link.
func (p people) Invite(ctx context.Context, who web.Person) (string, error) {
	return p.db.Invite(ctx, store.Person{Name: who.Name, Role: string(who.Role), Places: who.Places})
}

// Change changes what somebody may do.
func (p people) Change(ctx context.Context, who web.Person) error {
	return p.db.ChangePerson(ctx, store.Person{Name: who.Name, Role: string(who.Role), Places: who.Places})
}

// Remove withdraws what somebody was given.
func (p people) Remove(ctx context.Context, name string) error { return p.db.RemovePerson(ctx, name) }

func newPeople(a *app) *cobra.Command {
	cmd := a.answers(&cobra.Command{
		Use:   "people",
		Short: "Who may come in to the pages beside you, and what as",
		Long: `Lists who may come in beside you. A technician does all work at the places they may come to,
staff see their routine and write down use and what was found, a reader looks. Addresses of
calendars, passwords and settings are yours alone. What they write down carries their name.`,
		Args: cobra.NoArgs,
		RunE: a.listPeople,
	})
	cmd.AddCommand(newPeopleInvite(a), a.answers(&cobra.Command{
		Use: "list", Short: "Who may come in, as \"limekeep people\" alone has it", Args: cobra.NoArgs, RunE: a.listPeople,
	}), &cobra.Command{
		Use: "remove NAME", Short: "Withdraw an invitation, and sign out who came in by it",
		Long: "Withdraws what somebody was given: links that were not used lead nowhere, and they are signed out at\nonce. What they wrote down stays, with their name.", Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.askHouse(cmd, func(ctx context.Context, h *house, _ schedule.Moment) error {
				if err := h.db.RemovePerson(ctx, args[0]); err != nil {
					return err
				}
				fmt.Fprintf(cmd.OutOrStdout(), "%s may come in no longer\n", strings.TrimSpace(args[0]))
				return nil
			})
		},
	})
	return cmd
}

// listPeople prints who may come in.
func (a *app) listPeople(cmd *cobra.Command, _ []string) error {
	return a.askHouse(cmd, func(ctx context.Context, h *house, _ schedule.Moment) error {
		all, err := h.db.People(ctx)
		if err != nil {
			return err
		}
		const none = "Nobody but you: `limekeep people invite NAME --role technician` invites somebody."
		return printRows(cmd, a, all, none, "NAME\tROLE\tPLACES", func(p store.Person) string {
			places := "all"
			if len(p.Places) > 0 {
				places = strings.Join(p.Places, ", ")
			}
			return fmt.Sprintf("%s\t%s\t%s", p.Name, p.Role, places)
		})
	})
}

func newPeopleInvite(a *app) *cobra.Command {
	var role, at string
	cmd := &cobra.Command{
		Use:   "invite NAME",
		Short: "Print a link that lets somebody in, once and within a week",
		Long: `Prints a link that signs one browser in as somebody, once and within a week; give the command again
for another device, or to change what they may do. It is printed this once. "limekeep people remove"
withdraws it.`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.askHouse(cmd, func(ctx context.Context, h *house, _ schedule.Moment) error {
				has, err := h.db.HasOwnerPassword(ctx)
				if err != nil {
					return err
				}
				if !has {
					return errors.New("no password is set, so that everybody who reaches the pages may do everything: set one first with \"limekeep password set\"")
				}
				places, err := h.days.Records.Places(ctx)
				if err != nil {
					return err
				}
				if len(places) == 0 {
					return schedule.ErrNoPlace
				}
				p := store.Person{Name: args[0], Role: role}
				if at != "" && at != web.AllPlaces {
					for part := range strings.SplitSeq(at, ",") {
						id := strings.TrimSpace(part)
						if !slices.Contains(places, id) {
							return &record.UnknownError{What: "place", Name: id, Known: places}
						}
						p.Places = append(p.Places, id)
					}
				}
				base, _, err := a.base(ctx, h.db, places[0])
				if err != nil {
					return err
				}
				secret, err := h.db.Invite(ctx, p)
				if err != nil {
					return err
				}
				fmt.Fprintln(cmd.OutOrStdout(), base.JoinPath("invited", secret).String())
				printWrapped(cmd.OutOrStdout(), "", "It is good once, for one device, within a week. Whoever has it comes in: send it to them alone.")
				return nil
			})
		},
	}
	cmd.Flags().StringVar(&role, "role", "staff", "what they are: technician, staff or reader")
	cmd.Flags().StringVar(&at, "at", web.AllPlaces, "ids of the places that they may come to, parted by commas")
	baseFlag(cmd)
	return cmd
}
