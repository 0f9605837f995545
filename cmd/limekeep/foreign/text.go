package foreign

import (
	"regexp"
	"sync"
)

// phrase is what libraries say, and what to say instead.
type phrase struct {
	theirs *regexp.Regexp
	ours   string
}

// ofFramework are words of libraries that come without a type of their own, with ours;
// made when the first is looked for.
var ofFramework = sync.OnceValue(func() []phrase {
	return []phrase{
		{regexp.MustCompile(`\$(HOME|XDG_\w+) is not defined`), "HOME is not set"},
		{regexp.MustCompile(`While parsing config: (yaml: )?`), ""},
		{regexp.MustCompile(`invalid argument ("(?:[^"\\]|\\.)*") for "(?:-\w, )?(--[\w-]+)" flag: strconv\.\w+: .*?: (?:invalid syntax|value out of range)`), `$2: $1 cannot be taken; it is no number that can stand there`},
		{regexp.MustCompile(`accepts 1 arg\(s\), received 0`), "something is missing behind the command: --help says what"},
		{regexp.MustCompile(`unknown shorthand flag: '[\d.]' in (-\S+)`), "$1 cannot be taken: nothing that is counted or measured here is below zero"},
		{regexp.MustCompile(`(?:accepts|requires) (?:at most |at least |between )?[\w ]*arg\(s\), (?:only )?received (\d+)`), "it does not go with what stands behind it: --help says what does"},
		{regexp.MustCompile(`: unsupported operation$`), ""}, // what it is of has said so already
		{regexp.MustCompile(`(interrupt|terminated|hangup) signal received`), "it was stopped"},
		// JSON, as its reader says it where no type tells.
		{regexp.MustCompile(`unexpected end of JSON input`), "it ends before it should"},
		{regexp.MustCompile(`invalid character '.*' exceeded max depth`), "it is nested deeper than anything here"},
		{regexp.MustCompile(`invalid character '.*' (?:looking|after|in|at) .*`), "it is no JSON"},
		{regexp.MustCompile(`json: cannot unmarshal (\w+) into .*`), "a $1 cannot stand there"},
		{regexp.MustCompile(`unknown content type: .*`), "send JSON (Content-Type: application/json)"},
		// YAML, as its reader says it.
		{regexp.MustCompile(`mapping values are not allowed in this context`), "a colon stands where none can: put a text that holds one in quotes"},
		{regexp.MustCompile(`did not find expected ',' or '\]'`), "a list that was begun by [ is not closed"},
		{regexp.MustCompile(`did not find expected ',' or '\}'`), "what was begun by { is not closed"},
		{regexp.MustCompile(`did not find expected key|found a tab character that violates indentation`), "it is indented otherwise than what it belongs to: use blanks, as many as the line above"},
		{regexp.MustCompile(`did not find expected '-' indicator`), "a line of a list has no hyphen, or is indented otherwise"},
		{regexp.MustCompile(`did not find expected node content`), "a value is missing"},
		{regexp.MustCompile(`did not find expected alphabetic or numeric character`), "put a text that begins with & or * in quotes"},
		{regexp.MustCompile(`found character that cannot start any token`), "a value begins with a tab or a sign that none can begin with: put it in quotes"},
		{regexp.MustCompile(`found unexpected (end of stream|document indicator)`), "a text in quotes is not closed"},
		{regexp.MustCompile(`control characters are not allowed`), "it holds characters that no text has"},
		{regexp.MustCompile(`(invalid|incomplete) [\w -]*(UTF-8|UTF-16|octet)[\w -]*`), "it is not written in UTF-8"},
		{regexp.MustCompile(`could not find expected ':'`), "a name has no colon behind it"},
		{regexp.MustCompile(`block sequence entries are not allowed in this context`), "a list begins with a hyphen where none can"},
		{regexp.MustCompile(`unknown anchor '(.*?)' referenced`), "*$1 stands for nothing: put it in quotes"},
		{regexp.MustCompile(`found unknown escape character`), "a backslash in double quotes means nothing there: use single quotes"},
		{regexp.MustCompile(`did not find expected <document start>`), "more follows where the file should end"},
		// Calendars and XML, as their readers say it.
		{regexp.MustCompile(`(ical: )?malformed [^:]*: missing colon`), "a line of it has no colon"},
		{regexp.MustCompile(`(ical: )?malformed [^:;]*(: [^;.]*)?`), "a line of it is broken"},
		{regexp.MustCompile(`XML syntax error on line (\d+): .*`), "line $1 is no XML"},
		{regexp.MustCompile(`tls: failed to find .*? data in (\w+) input`), "the file of the $1 holds none"},
		{regexp.MustCompile(`tls: private key does not match public key`), "the key is not that of the certificate"},
		{regexp.MustCompile(`tls: .*`), "one of them cannot be read"},
		{regexp.MustCompile(`x509: .*`), "one of them cannot be read"},
	}
})

// Text puts what a library says of itself into our words, where only its text is left.
func Text(text string) string { return framework(text) }

// framework puts texts of libraries into our words.
func framework(text string) string {
	for _, known := range ofFramework() {
		text = known.theirs.ReplaceAllString(text, known.ours)
	}
	return text
}
