package strict

import (
	"strings"
	"unicode/utf8"
)

// printer writes a tree and its comments. A comment is written with the first
// thing that takes it: comments before an entry and on lines of their own go
// above it, the first that shares a line with it goes behind it, and those
// below the last entry of a group and indented like it end the group.
//
// A group is a map or list written over several lines. Offsets and lines are
// those of the source; indent is the column, from 0, that is written at.
type printer struct {
	src      *source
	root     *Node
	flat     map[*Node]string // collections written in brackets
	out      strings.Builder
	comments []comment
	next     int  // every comment before this one is taken
	lastLine int  // line of the source last written from
	fresh    bool // nothing is written yet in this group
}

func (p *printer) document() string {
	p.fresh = true
	if len(p.root.entries) == 0 {
		p.lead(p.root.end, 0)
		p.out.WriteString("{}\n")
	} else {
		p.layout(p.root, 0)
		p.entries(p.root, 0, len(p.src.text), false)
	}
	for _, c := range p.pending(len(p.src.text)) {
		p.own(c, 0)
	}
	return p.out.String()
}

// layout decides which collections inside a group at indent stay in brackets:
// those that stood in brackets, hold no comment and fit.
func (p *printer) layout(group *Node, indent int) {
	decide := func(n *Node, at int) {
		if n.kind == KindScalar {
			return
		}
		i, j := between(p.comments, n.off, n.end)
		bare := len(n.entries)+len(n.items) == 0
		if n.style == flow && (i == j || bare) {
			var b strings.Builder
			if flowText(&b, n, formatWidth-at) || bare {
				p.flat[n] = b.String()
				return
			}
		}
		p.layout(n, indent+2)
	}
	for _, e := range group.entries {
		decide(e.Value, indent+utf8.RuneCountInString(scalarText(e.Key, false))+2)
	}
	for _, item := range group.items {
		decide(item, indent+2)
	}
}

func (p *printer) isGroup(n *Node) bool {
	if n.kind == KindScalar {
		return false
	}
	_, flat := p.flat[n]
	return !flat
}

// first returns where the first text of a node begins: past the brackets that
// are not going to be written.
func (p *printer) first(n *Node) int {
	for p.isGroup(n) {
		if n.kind == KindMap {
			return n.entries[0].Key.off
		}
		n = n.items[0]
	}
	return n.off
}

// endLine returns the line a node ends on.
func (p *printer) endLine(n *Node) int { return p.src.lineOf(max(n.end-1, n.off)) }

// pending returns the comments before an offset that are not taken.
func (p *printer) pending(to int) []*comment {
	for p.next < len(p.comments) && p.comments[p.next].taken {
		p.next++
	}
	var list []*comment
	for i := p.next; i < len(p.comments) && p.comments[i].off < to; i++ {
		if !p.comments[i].taken {
			list = append(list, &p.comments[i])
		}
	}
	return list
}

// take writes a comment and the end of its line.
func (p *printer) take(c *comment) {
	c.taken = true
	p.out.WriteString(c.text + "\n")
}

// own writes a comment on a line of its own.
func (p *printer) own(c *comment, indent int) {
	if c.own {
		p.gap(c.line)
	}
	p.fresh = false
	p.indent(indent)
	p.take(c)
}

// gap writes a blank line when the source has one above the line that comes
// next, except at the beginning of a group.
func (p *printer) gap(line int) {
	if !p.fresh && line > p.lastLine && p.src.blank(line-1) {
		p.blankLine()
	}
	p.lastLine = max(p.lastLine, line)
	p.fresh = false
}

func (p *printer) blankLine() {
	if s := p.out.String(); s != "" && !strings.HasSuffix(s, "\n\n") {
		p.out.WriteByte('\n')
	}
}

func (p *printer) indent(n int) {
	for range n {
		p.out.WriteByte(' ')
	}
}

// lead writes the comments before an offset.
func (p *printer) lead(off, indent int) {
	for _, c := range p.pending(off) {
		p.own(c, indent)
	}
}

// foot writes the comments that end a group: those before limit and indented
// in the source at least to least, or all of them where brackets held it.
func (p *printer) foot(n *Node, least, indent, limit int) {
	for _, c := range p.pending(limit) {
		if n.style != flow && (!c.own || c.col < least) {
			return
		}
		p.own(c, indent)
	}
}

// entries writes a map as 'key: value' lines; when begun is set the first goes
// on the line that a dash began. What belongs to the map lies before limit.
func (p *printer) entries(n *Node, indent, limit int, begun bool) {
	if n.style == flow {
		limit = min(limit, n.end)
	}
	afterGroup := false
	for i, e := range n.entries {
		until := limit
		if i+1 < len(n.entries) {
			until = n.entries[i+1].Key.off
		}
		group := p.isGroup(e.Value)
		if n == p.root && (group || afterGroup) {
			p.blankLine()
		}
		afterGroup = group
		p.begin(e.Key.off, e.Key.off, indent, begun)
		if group {
			p.lineStart(indent, begun, scalarText(e.Key, false)+":")
			p.group(e, n.pos.Column, indent, until)
		} else {
			behind := p.around(e.Key.off, e.Value, indent, until, begun)
			p.lineStart(indent, begun, scalarText(e.Key, false)+":")
			p.value(e.Value, behind, indent)
		}
		begun = false
	}
	p.foot(n, n.pos.Column, indent, limit)
}

// items writes a list as '- value' lines; when begun is set the first goes on
// the line that another dash began. What belongs to the list lies before
// limit; column is that of the group around it in the source.
func (p *printer) items(n *Node, column, indent, limit int, begun bool) {
	if n.style == flow {
		limit = min(limit, n.end)
	}
	for i, item := range n.items {
		until := limit
		if i+1 < len(n.items) {
			until = p.first(n.items[i+1])
		}
		p.begin(p.first(item), item.off, indent, begun)
		if !p.isGroup(item) {
			behind := p.around(item.off, item, indent, until, begun)
			p.lineStart(indent, begun, "-")
			p.value(item, behind, indent)
		} else {
			if !begun {
				p.behindBrackets(item, indent, until)
			}
			p.lineStart(indent, begun, "- ")
			if item.kind == KindMap {
				p.entries(item, indent+2, until, true)
			} else {
				p.items(item, n.pos.Column, indent+2, until, true)
			}
		}
		begun = false
	}
	least := n.pos.Column
	if column == least {
		least++ // dashes below the first letter of their key: the comment is of the key after
	}
	p.foot(n, least, indent, limit)
}

// begin writes what goes above an entry whose text begins at first.
func (p *printer) begin(first, off, indent int, begun bool) {
	if begun {
		return
	}
	p.lead(first, indent)
	p.gap(p.src.lineOf(off))
}

func (p *printer) lineStart(indent int, begun bool, text string) {
	if !begun {
		p.indent(indent)
	}
	p.out.WriteString(text)
}

// around returns the comment that goes behind a value on one line, and writes
// above it the others that stand in its entry, which begins at off.
func (p *printer) around(off int, v *Node, indent, until int, begun bool) *comment {
	var behind *comment
	var above []*comment
	end := p.endLine(v)
	for _, c := range p.pending(until) {
		inside := c.off < v.end
		switch {
		case c.off < off || !inside && (c.own || c.line != end):
		case !c.own && behind == nil:
			behind = c
		default:
			above = append(above, c)
		}
	}
	if !begun {
		for _, c := range above {
			p.indent(indent)
			p.take(c)
		}
	}
	return behind
}

// value ends a line with a value on one line or with a block of text below.
func (p *printer) value(v *Node, behind *comment, indent int) {
	text, lines := p.flat[v], ""
	if v.kind == KindScalar {
		text = scalarText(v, false)
		if v.style == block {
			if head, body, ok := literal(v.text, indent+2); ok {
				text, lines = head, body
			}
		}
	}
	if text != "" {
		p.out.WriteString(" " + text)
	}
	if behind != nil {
		p.out.WriteByte(' ')
		p.take(behind)
	} else {
		p.out.WriteByte('\n')
	}
	p.out.WriteString(lines)
	p.lastLine = max(p.lastLine, p.endLine(v))
	p.fresh = false
}

// group ends the line of a key whose value is a group and writes the group.
func (p *printer) group(e Entry, column, indent, until int) {
	v := e.Value
	first, keyLine, end := p.first(v), p.src.lineOf(e.Key.off), p.endLine(v)
	var behind []*comment
	for _, c := range p.pending(until) {
		if !c.own && (c.off < first && c.line == keyLine || v.style == flow && c.off >= v.end && c.line == end) {
			behind = append(behind, c)
		}
	}
	if len(behind) > 0 {
		p.out.WriteByte(' ')
		p.take(behind[0])
		behind = behind[1:]
	} else {
		p.out.WriteByte('\n')
	}
	p.fresh = true
	for _, c := range behind {
		p.own(c, indent+2)
	}
	if v.kind == KindMap {
		p.entries(v, indent+2, until, false)
	} else {
		p.items(v, column, indent+2, until, false)
	}
}

// behindBrackets writes above a dash the comments that stood behind the
// closing brackets of groups that begin at the dash.
func (p *printer) behindBrackets(item *Node, indent, until int) {
	for p.isGroup(item) {
		if item.style == flow {
			end := p.endLine(item)
			for _, c := range p.pending(until) {
				if !c.own && c.off >= item.end && c.line == end {
					p.own(c, indent)
				}
			}
			until = min(until, item.end)
		}
		if item.kind == KindMap {
			return
		}
		if len(item.items) > 1 {
			until = min(until, p.first(item.items[1]))
		}
		item = item.items[0]
	}
}
