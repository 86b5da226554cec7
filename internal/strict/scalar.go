package strict

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// formatWidth is the most runes of a line on which brackets stay brackets.
const formatWidth = 100

// scalarText returns the text of a scalar as it is written: what stood
// without quotes stays so, and quotes go where nothing needs them. Inside
// brackets more needs them.
func scalarText(n *Node, inFlow bool) string {
	if n.style == plain || !inFlow && plainSafe(n.text, false) {
		return n.text
	}
	return Quote(n.text)
}

// Quote returns text as it can be written for a key or a value anywhere in a
// file, in quotes where it needs them or would mean something else to another
// reader of YAML.
func Quote(text string) string {
	if plainSafe(text, true) {
		return text
	}
	printable, backslash := true, false
	for _, r := range text {
		printable = printable && unicode.IsPrint(r)
		backslash = backslash || r == '\\' || r == '"'
	}
	if printable && (backslash || !strings.Contains(text, "'")) {
		return "'" + strings.ReplaceAll(text, "'", "''") + "'"
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case unicode.IsPrint(r):
			b.WriteRune(r)
		case r > 0xffff:
			fmt.Fprintf(&b, `\U%08X`, r)
		default:
			fmt.Fprintf(&b, `\u%04X`, r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// plainSafe reports whether text can stand without quotes, inside brackets or
// on a line of its own, and is text to every reader of YAML.
func plainSafe(text string, inFlow bool) bool {
	first, _ := utf8.DecodeRuneInString(text)
	if !(unicode.IsLetter(first) || unicode.IsDigit(first) || first == '_' || first == '/' || first == '(') {
		return false
	}
	var before rune
	for _, r := range text {
		ordinary := unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.IsMark(r) || strings.ContainsRune(" _-+./()'\"&;=<>%$*~^@!?²³°µ½¼¾×Ω", r)
		switch {
		case before == ':' && r == ' ', r == '#' && before == ' ':
			return false
		case ordinary || r == '#':
		case inFlow || !strings.ContainsRune(",:[]{}", r):
			return false
		}
		before = r
	}
	return before != ' ' && before != ':' && !otherType(text)
}

// otherType reports whether some reader of YAML takes the text for a number, a
// truth value, a date or nothing. It errs on the side of quotes.
func otherType(text string) bool {
	switch strings.ToLower(text) {
	case "null", "true", "false", "yes", "no", "on", "off", "y", "n":
		return true
	}
	return strings.Trim(text, "0123456789abcdefABCDEFxXoO_.+-TZtz") == "" && strings.ContainsAny(text[:1], "0123456789")
}

// literal returns text as a block below a '|' at indent, and false when it
// would not read back the same there.
func literal(text string, indent int) (head, body string, ok bool) {
	trimmed := strings.TrimSuffix(text, "\n")
	head = "|"
	if trimmed == text {
		head = "|-"
	}
	if !strings.Contains(text, "\n") || trimmed == "" || strings.HasSuffix(trimmed, "\n") || strings.ContainsAny(trimmed[:1], " \t\n") {
		return "", "", false
	}
	var b strings.Builder
	for line := range strings.SplitSeq(trimmed, "\n") {
		if line == "" {
			b.WriteByte('\n')
			continue
		}
		if strings.TrimLeft(line, " \t") == "" {
			return "", "", false
		}
		b.WriteString(strings.Repeat(" ", indent) + line + "\n")
	}
	return head, b.String(), true
}

// flowText writes a node in brackets and reports whether it took at most room
// runes; it stops when it does not.
func flowText(b *strings.Builder, n *Node, room int) bool {
	write := func(s string) bool {
		room -= utf8.RuneCountInString(s)
		b.WriteString(s)
		return room >= 0
	}
	var node func(n *Node) bool
	node = func(n *Node) bool {
		switch n.kind {
		case KindMap:
			if !write("{") {
				return false
			}
			for i, e := range n.entries {
				if i > 0 && !write(", ") || !write(scalarText(e.Key, true)+": ") || !node(e.Value) {
					return false
				}
			}
			return write("}")
		case KindList:
			if !write("[") {
				return false
			}
			for i, item := range n.items {
				if i > 0 && !write(", ") || !node(item) {
					return false
				}
			}
			return write("]")
		}
		return write(scalarText(n, true))
	}
	return node(n)
}
