// Package form holds the forms of the pages: the fields one below the other, what was
// typed into them and what is wrong with it, how a form that was sent is read, and the
// tokens that see to it that each is taken once.
package form
