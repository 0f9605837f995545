package wording

import (
	"fmt"
)

// Who may see the pages: signing in, the password, invitations.
const (
	SignEveryBrowserOut         = "Sign every browser out"
	SetItAndSignEveryBrowserOut = "Set it, and sign every browser out"
	ThePasswordAsItIs           = "The password as it is"
	NewPassword                 = "New password"
	OnceMore                    = "Once more"
	AskForNoPassword            = "Ask for none any more: then every user and program of this computer reaches these pages"
	ThePassword                 = "The password"
	PasswordAndNone             = "a password and none at once: leave one of them out"
	NoPasswordGiven             = "nothing is given; give a password"
	TheTwoDiffer                = "the two are not the same"
	ThatIsNotThePassword        = "that is not the password"
	InvitedElsewhere            = "You were invited to other places than this one."
	NotForYou                   = "Not for you"
	YouAreInvited               = "You are invited"
	ComeInOnThisDevice          = "Come in on this device"
	ThisInvitationLeadsNowhere  = "This invitation leads nowhere"
	InvitationIsGoodOnce        = "An invitation is good once and for a week, and can be withdrawn. Ask for another."
	NoPasswordIsSet             = "No password is set"
	ClosedUntilPasswordIsSet    = "These pages can be reached from other computers, so they stay closed until a password is set: on the computer that limekeep runs on, give “limekeep password set”."
	NotSignedIn                 = "Not signed in"
	SignInThenSend              = "Nothing was written. Sign in, then send the form again."
	SignIn                      = "Sign in"
	SetThePassword              = "Set the password"
	WrongPassword               = "That is not the password."
	ThisLinkLeadsNowhere        = "This link leads nowhere"
	PasswordLinkIsGoodOnce      = "A link that sets the password is good once and for a day. “limekeep password set” on the computer itself sets one at any time."
	TheTwoPasswordsDiffer       = "The two are not the same."
)

// TooManyWrong says when a password is looked at again.
func TooManyWrong(seconds int) string {
	return fmt.Sprintf("Too many passwords were wrong. Try again in %d seconds.", seconds)
}

// TooManyWrongSoFar is the same beside a field.
func TooManyWrongSoFar(seconds int) string {
	return fmt.Sprintf("too many passwords were wrong: try again in %d seconds", seconds)
}

// NotOpenTo says to somebody who is signed in that a page is for others.
func NotOpenTo(role string) string {
	return "You came in as " + role + ", to whom this page is not open. Nothing was written. Who runs this server can change that."
}
