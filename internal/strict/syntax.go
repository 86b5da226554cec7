package strict

import (
	"errors"
	"strings"

	"go.yaml.in/yaml/v4"
)

// syntaxHints words the parser's complaints for a person with a file. The
// first whose fragments are in the message and its context is used.
var syntaxHints = [...]struct {
	message, context       string
	found, expected, other string
	fix                    string
}{
	{"expected ',' or ']'", "", "the list that begins with [ does not go on here", "a comma or ]", "the list begins here", "close it with ]"},
	{"expected ',' or '}'", "", "the entries that begin with { do not go on here", "a comma or }", "the entries begin here", "close them with }"},
	{"unexpected end of stream", "quoted", "the text in quotes is not closed", "a closing quote", "the text begins here", "add the quote"},
	{"unknown escape character", "", "found an escape that means nothing", `one of \" \\ \n \t \uXXXX`, "", `write \\ for a backslash, or use single quotes`},
	{"invalid Unicode character escape", "", "found an escape that is no character", `\uXXXX with the number of a character`, "", "correct the number"},
	{"hexadecimal number", "", "found an escape without its digits", `\uXXXX with four digits`, "", "correct the number"},
	{"mapping values are not allowed", "", "found a colon where no key can be", "one 'key: value' to a line, all keys of a group indented alike", "",
		"put a value that holds ': ' in quotes, or indent the line like its neighbours"},
	{"sequence entries are not allowed", "", "found '- ' where no list can begin", "'- ' on a line of its own", "", "begin the list on the next line"},
	{"expected '-' indicator", "", "this line does not go on with the list", "'- ' in the same column as the entries above", "the list begins here", "indent it like the entries above"},
	{"expected key", "block mapping", "this line fits none of the groups above it", "a 'key: value' in the same column as the keys above", "the group begins here", "indent it like the keys above"},
	{"expected node content", "", "a value is missing", "a value before the comma or bracket", "", "remove the comma or add the value"},
	{"tab character", "", "found a tab in the indentation", "spaces", "", "indent with spaces"},
	{"comment without preceding whitespace", "", "found # directly after a value", "a space before #", "", "add a space, or put text with # in quotes"},
	{"unknown anchor", "", "found an alias (*)", "a value", "", "write the value out, or put text that begins with * in quotes"},
	{"", "anchor", "found an anchor (&)", "a value", "", "put text that begins with & in quotes"},
	{"", "alias", "found an alias (*)", "a value", "", "put text that begins with * in quotes"},
	{"", "tag", "found a tag (!)", "a value", "", "put text that begins with ! in quotes"},
	{"", "block scalar", "found a block of text that cannot be read", "| or > at the end of the line and the text indented below", "", "check the indentation of the text"},
	{"multiple", "", "a second document begins here", "one document to a file", "", "move it to a file of its own"},
	{"document", "", "found text after the end of the document", "one document to a file", "", "indent it like the lines above, or remove it"},
}

// syntax turns the parser's error into a problem with a place.
func (d *Doc) syntax(err error) Problem {
	p := Problem{Pos: Pos{1, 1}, Found: "this is not YAML", Expected: "'key: value' lines and '- ' lists"}
	var e *yaml.LoadError
	if !errors.As(err, &e) {
		return p
	}
	if strings.Contains(e.Message, "no documents") {
		return nothing()
	}
	where := e.Mark
	if where.Line == 0 {
		where = e.ContextMark
	}
	if where.Line > 0 {
		p.Pos = d.clamp(Pos{where.Line, max(where.Column, 1)})
	}
	hint := -1
	for i, h := range syntaxHints {
		if strings.Contains(e.Message, h.message) && strings.Contains(e.ContextMsg, h.context) {
			hint = i
			break
		}
	}
	switch {
	case strings.Contains(e.Message, "cannot start any token"):
		d.badStart(&p)
	case strings.Contains(e.Message, "could not find expected ':'") && e.ContextMark.Line > 0:
		p.Pos = Pos{e.ContextMark.Line, max(e.ContextMark.Column, 1)} // the key, not the line after it
		p.Found, p.Expected, p.Fix = "found a line without a colon after its key", "'key: value'", "add ': ' after the key"
	case strings.Contains(e.Message, "expected key") && strings.TrimLeft(d.before(p.Pos), " ") != "":
		p.Found, p.Expected, p.Fix = "found more text after the value", "one value to a key", "put the whole value in quotes"
	case hint >= 0:
		h := syntaxHints[hint]
		p.Found, p.Expected, p.Fix = h.found, h.expected, h.fix
		if h.other != "" && e.ContextMark.Line > 0 {
			if at := d.clamp(Pos{e.ContextMark.Line, max(e.ContextMark.Column, 1)}); at != p.Pos {
				p.Other = &Place{Pos: at, Note: h.other}
			}
		}
	default:
		p.Found += " (" + e.Message + ")"
	}
	return p
}

// badStart words the parser's complaint about a character that begins nothing.
func (d *Doc) badStart(p *Problem) {
	line := d.src.line(p.Line)
	indent := line[:len(line)-len(strings.TrimLeft(line, " \t"))]
	if tab := strings.IndexByte(indent, '\t'); tab >= 0 && p.Column <= len(indent)+1 {
		p.Column = tab + 1
		p.Found, p.Expected, p.Fix = "found a tab in the indentation", "spaces", "indent with spaces"
		return
	}
	p.Found, p.Expected = "found a character that begins no value", "a value"
	if runes := []rune(d.src.line(p.Line)); p.Column <= len(runes) {
		p.Found = "found " + quote(string(runes[p.Column-1])) + ", which begins no value"
	}
	p.Fix = "put text that begins with it in quotes"
}

// before returns what stands before a place in its line.
func (d *Doc) before(p Pos) string {
	runes := []rune(d.src.line(p.Line))
	return string(runes[:min(p.Column-1, len(runes))])
}

// clamp moves a place past the end of the text to the end of the last line
// that holds something.
func (d *Doc) clamp(p Pos) Pos {
	if p.Line <= len(d.src.lines) && !(p.Line == len(d.src.lines) && d.src.line(p.Line) == "") {
		return p
	}
	n := len(d.src.lines)
	for n > 1 && d.src.blank(n) {
		n--
	}
	return Pos{n, len([]rune(d.src.line(n))) + 1}
}
