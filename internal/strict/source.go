package strict

import (
	"sort"
	"strings"
	"unicode/utf8"
)

// Pos is a place in a file. Line and column count from 1; the column counts
// runes. The zero Pos is no place.
type Pos struct {
	Line   int `json:"line"`
	Column int `json:"column"`
}

// Before reports whether p stands before q in the file.
func (p Pos) Before(q Pos) bool {
	if p.Line != q.Line {
		return p.Line < q.Line
	}
	return p.Column < q.Column
}

// source is a text with the offsets at which its lines begin. It ends every
// line with a newline only: carriage returns are gone.
type source struct {
	name  string
	text  string
	lines []int // byte offset of each line
}

func newSource(name, text string) *source {
	s := &source{name: name, text: text, lines: make([]int, 1, strings.Count(text, "\n")+1)}
	for i := 0; i < len(text); i++ {
		if text[i] == '\n' {
			s.lines = append(s.lines, i+1)
		}
	}
	return s
}

// line returns the text of a line without its newline, "" past the end.
func (s *source) line(n int) string {
	if n < 1 || n > len(s.lines) {
		return ""
	}
	end := len(s.text)
	if n < len(s.lines) {
		end = s.lines[n] - 1
	}
	return s.text[s.lines[n-1]:end]
}

// blank reports whether a line that exists holds nothing but white space.
func (s *source) blank(n int) bool {
	return n >= 1 && n <= len(s.lines) && strings.TrimLeft(s.line(n), " \t") == ""
}

// pos returns the position of a byte offset. It takes time in proportion to
// the length of the line.
func (s *source) pos(off int) Pos {
	off = min(off, len(s.text))
	n := sort.SearchInts(s.lines, off+1)
	return Pos{n, 1 + utf8.RuneCountInString(s.text[s.lines[n-1]:off])}
}

// lineOf returns the number of the line that holds a byte offset.
func (s *source) lineOf(off int) int { return sort.SearchInts(s.lines, off+1) }

// excerptWidth is the most runes of a line shown in an excerpt.
const excerptWidth = 100

// excerpt returns the line at p as it can be shown, tabs as spaces, a very
// long line cut around the place, and the number of runes before the caret.
func (s *source) excerpt(p Pos) (string, int) {
	line := s.line(p.Line)
	caret := max(p.Column-1, 0)
	cutLeft := caret > excerptWidth*3/4
	if cutLeft {
		skip := caret - excerptWidth/2
		for range skip {
			_, n := utf8.DecodeRuneInString(line)
			line = line[n:]
		}
		caret -= skip
	}
	end, n := 0, 0
	for end < len(line) && n < excerptWidth {
		_, size := utf8.DecodeRuneInString(line[end:])
		end += size
		n++
	}
	cutRight := end < len(line)
	line = strings.Map(shown, line[:end])
	if cutLeft {
		line = "…" + line
		caret++
	}
	if cutRight {
		line += "…"
	}
	return line, min(caret, utf8.RuneCountInString(line))
}

// shown replaces what would spoil the excerpt: tabs by a space each, control
// characters and bytes that are not UTF-8 by the replacement character.
func shown(r rune) rune {
	switch {
	case r == '\t':
		return ' '
	case forbidden(r) != "":
		return utf8.RuneError
	}
	return r
}

// cursor turns the positions of nodes, which come in file order, into byte
// offsets in time proportional to the text.
type cursor struct {
	src       *source
	line, col int // col counts runes from 1
	off       int
}

func (c *cursor) offset(line, col int) int {
	line = max(min(line, len(c.src.lines)), 1)
	if line != c.line || col < c.col {
		c.line, c.col, c.off = line, 1, c.src.lines[line-1]
	}
	for c.col < col && c.off < len(c.src.text) && c.src.text[c.off] != '\n' {
		_, n := utf8.DecodeRuneInString(c.src.text[c.off:])
		c.off += n
		c.col++
	}
	return c.off
}
