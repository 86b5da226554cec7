package lines

import (
	"fmt"
	"strconv"
	"strings"
)

// A token is a word of a line and the column where it starts, in bytes from 1.
type token struct {
	text   string
	column int
	quoted bool // some of it
}

// split returns the words of a line. Quotes may stand anywhere in a word, as in
// "stair light"=lit.
func split(line string) ([]token, *Error) {
	var out []token
	i := 0
	for i < len(line) {
		if line[i] == ' ' || line[i] == '\t' || line[i] == '\r' {
			i++
			continue
		}
		if line[i] == '#' {
			break
		}
		start, quotes := i, false
		var b strings.Builder
		for i < len(line) && line[i] != ' ' && line[i] != '\t' && line[i] != '\r' {
			if line[i] != '"' {
				b.WriteByte(line[i])
				i++
				continue
			}
			quoted, err := strconv.QuotedPrefix(line[i:])
			if err != nil {
				return nil, &Error{Column: i + 1, Detail: "this quote is not closed, or holds a backslash before something else than a quote or a backslash"}
			}
			text, err := strconv.Unquote(quoted)
			if err != nil {
				return nil, &Error{Column: i + 1, Detail: err.Error()}
			}
			b.WriteString(text)
			i += len(quoted)
			quotes = true
		}
		out = append(out, token{b.String(), start + 1, quotes})
	}
	return out, nil
}

// A Word is one of a line, without its quotes, and where it begins.
type Word struct {
	Text string
	// Column counts bytes from 1.
	Column int
	// Quoted reports that some of it stood in quotes: it is a name, and none of the words
	// that end one.
	Quoted bool
}

// Split returns the words of a line in their order, without its comment. An error is an
// [*Error].
func Split(line string) ([]Word, error) {
	tokens, err := split(line)
	if err != nil {
		return nil, err
	}
	out := make([]Word, len(tokens))
	for i, t := range tokens {
		out[i] = Word{t.text, t.column, t.quoted}
	}
	return out, nil
}

// Quote returns a name as one word of a line, in quotes if it needs them.
func Quote(name string) string { return quote(name) }

// quote returns a name as one word.
func quote(name string) string {
	if name == "" || strings.ContainsAny(name, " \t\r\n\"\\#=") || strconv.Quote(name) != `"`+name+`"` {
		return strconv.Quote(name)
	}
	return name
}

// An Error is what is wrong with a line, and where.
type Error struct {
	// Column is that of the word it is about, in bytes from 1.
	Column int
	Detail string
}

// Error returns "column 5: ...".
func (e *Error) Error() string { return fmt.Sprintf("column %d: %s", e.Column, e.Detail) }
