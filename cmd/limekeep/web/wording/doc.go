// Package wording has the sentences of the pages that stand in no template: titles,
// labels and hints of forms, what is said when something cannot be taken, captions of
// pictures. They are in English, a file to a subject. A text that never changes is a
// constant; one that holds a name, a number or a day is a function of it, so that a
// language can put it where its grammar wants it, and tell one from several. Words that
// commands say as well are those of schedule/say.
package wording
