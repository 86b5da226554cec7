package strict

import (
	"sort"
	"strings"
	"unicode/utf8"
)

// A comment is one # to the end of its line.
type comment struct {
	off, line, col int
	own            bool // alone on its line
	text           string
	taken          bool // already written
}

// commentScan collects the comments of a document and sets the ends of its
// nodes. Between the scalars of a tree without anchors and tags stand only
// white space, brackets, dashes, colons, commas, question marks and comments,
// so that a # there always begins a comment.
type commentScan struct {
	src  *source
	at   int
	list []comment
}

func (d *Doc) comments() []comment {
	s := &commentScan{src: d.src}
	s.node(d.root, -1, 0)
	s.gap(len(d.src.text))
	return s.list
}

// gap reads on to an offset, or to the first of the closing brackets given,
// and collects the comments on the way.
func (s *commentScan) gap(to int, closers ...byte) {
	text := s.src.text
	for s.at < to {
		b := text[s.at]
		for _, c := range closers {
			if b == c {
				return
			}
		}
		if b == '#' {
			s.comment()
			continue
		}
		s.at++
	}
}

func (s *commentScan) comment() {
	text := s.src.text
	end := strings.IndexByte(text[s.at:], '\n')
	if end < 0 {
		end = len(text) - s.at
	}
	line := s.src.lineOf(s.at)
	before := text[s.src.lines[line-1]:s.at]
	s.list = append(s.list, comment{
		off: s.at, line: line, col: 1 + utf8.RuneCountInString(before),
		own:  strings.TrimLeft(before, " \t") == "",
		text: strings.TrimRight(text[s.at:s.at+end], " \t"),
	})
	s.at += end
}

// mark passes over the dash or colon before a value. It returns where the
// value would stand if it were left out: behind the mark, or where the scan
// was when there is none.
func (s *commentScan) mark(b byte) int {
	from := s.at
	for text := s.src.text; s.at < len(text); s.at++ {
		switch text[s.at] {
		case ' ', '\t', '\n':
			continue
		case '#':
			s.comment()
			s.at--
			continue
		case b:
			s.at++
			return s.at
		}
		break
	}
	return from
}

// node passes over a node. Indent is the column, from 0, of the map or list
// it stands in, -1 at the top; empty is where the node is when it was left out.
func (s *commentScan) node(n *Node, indent, empty int) {
	if n.kind != KindScalar {
		s.collection(n)
		return
	}
	if n.Empty() {
		n.off, n.end = empty, empty
		return
	}
	s.gap(n.off)
	switch n.style {
	case plain:
		s.at = n.end
	case block:
		s.block(indent)
	default:
		s.quoted(n.style)
	}
	n.end = s.at
}

func (s *commentScan) collection(n *Node) {
	text := s.src.text
	bracket := n.style == flow && n.off < len(text) && (text[n.off] == '[' || text[n.off] == '{')
	if bracket {
		s.gap(n.off)
		s.at = n.off + 1
	}
	indent := n.pos.Column - 1
	for _, e := range n.entries {
		s.node(e.Key, indent, s.at)
		s.node(e.Value, indent, s.mark(':'))
	}
	for _, item := range n.items {
		at := s.at
		if n.style != flow {
			at = s.mark('-')
		}
		s.node(item, indent, at)
	}
	if bracket {
		s.gap(len(text), ']', '}')
		s.at = min(s.at+1, len(text))
	}
	n.end = s.at
}

func (s *commentScan) quoted(st style) {
	text := s.src.text
	for s.at++; s.at < len(text); s.at++ {
		switch b := text[s.at]; {
		case st == double && b == '\\':
			s.at++
		case st == single && b == '\'' && s.at+1 < len(text) && text[s.at+1] == '\'':
			s.at++
		case st == double && b == '"', st == single && b == '\'':
			s.at++
			return
		}
	}
	s.at = min(s.at, len(text))
}

// block passes over a block of text: its header with a comment, if any, and
// the lines indented below.
func (s *commentScan) block(indent int) {
	text, line := s.src.text, s.src.lineOf(s.at)
	content := 0 // columns of indentation of the text; 0 while unknown
	end := min(s.src.lines[line-1]+len(s.src.line(line)), len(text))
	for i := s.at + 1; i < end && text[i] != ' ' && text[i] != '\t'; i++ {
		if text[i] >= '1' && text[i] <= '9' {
			content = max(indent, 0) + int(text[i]-'0')
		}
	}
	s.gap(end)
	least := max(indent+1, 1)
	if content == 0 {
		for n := line + 1; n <= len(s.src.lines); n++ {
			l := s.src.line(n)
			spaces := len(l) - len(strings.TrimLeft(l, " "))
			least = max(least, spaces)
			if spaces < len(l) {
				break
			}
		}
		content = least
	}
	for line++; line <= len(s.src.lines); line++ {
		l := s.src.line(line)
		spaces := len(l) - len(strings.TrimLeft(l, " "))
		if spaces < len(l) && spaces < content {
			break
		}
		s.at = s.src.lines[line-1] + len(l)
	}
}

// between returns the index of the first comment at or after one offset and of
// the first at or after another.
func between(list []comment, from, to int) (int, int) {
	i := sort.Search(len(list), func(i int) bool { return list[i].off >= from })
	j := sort.Search(len(list), func(i int) bool { return list[i].off >= to })
	return i, j
}
