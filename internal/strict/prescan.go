package strict

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

const byteOrderMark = "\ufeff"

// normalize drops a leading byte-order mark and the carriage returns before
// newlines, neither of which moves a line or a column.
func normalize(src string) string {
	src = strings.TrimPrefix(src, byteOrderMark)
	if strings.Contains(src, "\r\n") {
		src = strings.ReplaceAll(src, "\r\n", "\n")
	}
	return src
}

// forbidden names a character that has no business in a file people write, ""
// for any other. The line separators are among them because YAML reads them
// as ends of lines, which no editor's line count agrees with; and what turns the
// order of text around, because a tag on a box must read as it is written.
func forbidden(r rune) string {
	switch {
	case r == 0:
		return "a NUL byte"
	case r == '\r':
		return "a carriage return without a newline"
	case r < 0x20 && r != '\t' && r != '\n', r == 0x7f, r >= 0x80 && r < 0xa0 && r != 0x85:
		return fmt.Sprintf("the control character U+%04X", r)
	case r == 0x85, r == 0x2028, r == 0x2029:
		return fmt.Sprintf("the line separator U+%04X", r)
	case r == 0xfeff:
		return "a byte-order mark inside the text"
	case unicode.Is(unicode.Bidi_Control, r):
		return fmt.Sprintf("U+%04X, which may show text in another order than it is in", r)
	case r == 0xfffe, r == 0xffff:
		return fmt.Sprintf("U+%04X, which is no character", r)
	}
	return ""
}

// prescan checks what can be checked before the YAML parser sees the text:
// bytes and characters, document marks and directives, and how much stands in
// each bracketed collection. It reports to c.
func prescan(s *source, most int, c *collector) {
	checkCharacters(s, c)
	if len(c.list) > 0 {
		return // the marks and brackets of such a text mean little
	}
	checkMarks(s, c)
	if len(c.list) == 0 {
		checkBrackets(s, most, c)
	}
}

func checkCharacters(s *source, c *collector) {
	for i := 0; i < len(s.text); {
		b := s.text[i]
		if b >= 0x20 && b < 0x7f || b == '\n' || b == '\t' {
			i++
			continue
		}
		r, size := utf8.DecodeRuneInString(s.text[i:])
		found, fix := forbidden(r), "remove it"
		if r == utf8.RuneError && size == 1 {
			found, fix = fmt.Sprintf("the byte 0x%02X, which is not UTF-8", b), "save the file as UTF-8"
		}
		if found != "" {
			if c.full {
				c.more++ // positions ascend, and finding one takes time
			} else {
				c.add(Problem{Pos: s.pos(i), Found: "found " + found, Expected: "UTF-8 text without control characters", Fix: fix})
			}
		}
		i += size
	}
}

// checkMarks reports directives and everything after the first document.
func checkMarks(s *source, c *collector) {
	content, ended := false, false
	for n := 1; n <= len(s.lines); n++ {
		line := s.line(n)
		trimmed := strings.TrimLeft(line, " \t")
		switch {
		case trimmed == "" || trimmed[0] == '#':
		case line[0] == '%':
			c.add(Problem{Pos: Pos{n, 1}, Found: "found a directive", Expected: "keys and values", Fix: "remove the line"})
		case isMark(line, "..."):
			ended = true
		case ended, content && isMark(line, "---"):
			c.add(Problem{Pos: Pos{n, 1}, Found: "a second document begins here", Expected: "one document to a file",
				Fix: "move it to a file of its own"})
			return
		default:
			content = true
		}
	}
}

func isMark(line, mark string) bool {
	return strings.HasPrefix(line, mark) && (len(line) == 3 || line[3] == ' ' || line[3] == '\t')
}

// checkBrackets counts the commas, colons and brackets of each outermost
// bracketed collection. It reads only as much YAML as that takes: where a value
// begins, quoted text, blocks of text and comments.
func checkBrackets(s *source, most int, c *collector) {
	depth, marks, open := 0, 0, 0
	var quoted byte
	for n := 1; n <= len(s.lines); n++ {
		line := s.line(n)
		starts := true // a value may begin here
		column := 0    // of the last key or dash
		for i := 0; i < len(line); i++ {
			b := line[i]
			switch {
			case quoted == '"' && b == '\\':
				i++
				continue
			case quoted == '\'' && b == '\'' && i+1 < len(line) && line[i+1] == '\'':
				i++
				continue
			case quoted != 0:
				if b == quoted {
					quoted = 0
				}
				continue
			case b == '#' && (i == 0 || line[i-1] == ' ' || line[i-1] == '\t'):
				i = len(line)
				continue
			case starts && (b == '"' || b == '\''):
				quoted = b
			case (starts || depth > 0) && (b == '[' || b == '{'):
				if depth == 0 {
					marks, open = 0, s.lines[n-1]+i
				}
				depth++
				marks++
			case depth > 0 && (b == ']' || b == '}'):
				depth--
			case depth > 0 && (b == ',' || b == ':'):
				marks++
			case depth == 0 && starts && (b == '|' || b == '>'):
				n = s.skipBlock(n, column)
				i = len(line)
				continue
			}
			switch {
			case b == ' ' || b == '\t':
			case depth > 0:
				starts = b == '[' || b == '{' || b == ',' || b == ':'
			case b == '-' || b == '?' || b == ':':
				next := i+1 == len(line) || line[i+1] == ' ' || line[i+1] == '\t'
				if b != ':' && starts && next {
					column = i
				}
				starts = next && (starts || b == ':')
			default:
				if starts {
					column = i
				}
				starts = false
			}
			if marks > most {
				c.add(Problem{Pos: s.pos(open), Found: fmt.Sprintf("more than %d entries between these brackets (commas, colons and brackets counted)", most),
					Expected: "a shorter collection", Fix: "write one 'key: value' or '- value' to a line, without the brackets, or raise the limit in the program that reads it"})
				return
			}
		}
	}
}

// skipBlock returns the last line of the block of text that line n opens below
// a key or dash at the byte column given.
func (s *source) skipBlock(n, column int) int {
	for n < len(s.lines) {
		line := s.line(n + 1)
		text := strings.TrimLeft(line, " ")
		if text != "" && len(line)-len(text) <= column {
			return n
		}
		n++
	}
	return n
}
