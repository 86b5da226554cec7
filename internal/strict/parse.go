package strict

import (
	"cmp"
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// Options are the limits of a file. A field that is zero, or less, is its default.
type Options struct {
	MaxBytes    int // size of the text in bytes; default 2,097,152
	MaxDepth    int // levels of nesting, the whole file being the first; default 64
	MaxEntries  int // commas, colons and brackets in one outermost bracketed collection; default 200,000
	MaxProblems int // problems listed before 'and N more'; default 50
}

// The default limits.
const (
	DefaultMaxBytes    = 2 << 20
	DefaultMaxDepth    = 64
	DefaultMaxEntries  = 200_000
	DefaultMaxProblems = 50

	maxKeyBytes = 200
)

// A Doc is one file that was read. It is not safe for concurrent use while
// values are read, because reading reports problems to it.
type Doc struct {
	src      *source
	root     *Node
	opt      Options
	problems collector
	unsound  error // the problems found while the text was read
}

// Parse reads src, calling it name in messages. The error is an [*Errors] when
// the text cannot be read at all: too large, not UTF-8, not YAML, not one
// document of keys and values. Everything else that is wrong (doubled keys,
// anchors, tags, and what readers report) waits in [Doc.Err].
func Parse(name string, src []byte, opt Options) (*Doc, error) {
	opt.MaxBytes = cmp.Or(max(opt.MaxBytes, 0), DefaultMaxBytes)
	opt.MaxDepth = cmp.Or(max(opt.MaxDepth, 0), DefaultMaxDepth)
	opt.MaxEntries = cmp.Or(max(opt.MaxEntries, 0), DefaultMaxEntries)
	opt.MaxProblems = cmp.Or(max(opt.MaxProblems, 0), DefaultMaxProblems)

	d := &Doc{opt: opt}
	if len(src) > opt.MaxBytes {
		d.src = newSource(name, "")
		d.problems = collector{src: d.src, limit: opt.MaxProblems}
		d.problems.add(Problem{Pos: Pos{1, 1}, Found: fmt.Sprintf("the file has %d bytes", len(src)),
			Expected: fmt.Sprintf("at most %d", opt.MaxBytes), Fix: "split it, or raise the limit in the program that reads it"})
		return nil, d.Err()
	}
	d.src = newSource(name, normalize(string(src)))
	d.problems = collector{src: d.src, limit: opt.MaxProblems}
	prescan(d.src, opt.MaxEntries, &d.problems)
	if err := d.Err(); err != nil {
		return nil, err
	}
	top, err := d.load()
	if err != nil {
		d.problems.add(*err)
		return nil, d.Err()
	}
	b := builder{doc: d, at: cursor{src: d.src}}
	d.root = b.node(top, 1)
	if b.tooDeep {
		return nil, d.Err()
	}
	if d.root.Empty() { // a document mark and nothing after it, which the parser places past the end
		d.problems.add(nothing())
		return nil, d.Err()
	}
	if d.root.kind != KindMap {
		d.root.Report(Report{Found: "found " + d.root.kind.String(), Expected: "a file of 'key: value' lines"})
		return nil, d.Err()
	}
	d.unsound = d.Err()
	return d, nil
}

// Name returns the name the file was given.
func (d *Doc) Name() string { return d.src.name }

// Root returns the whole file, a map.
func (d *Doc) Root() *Node { return d.root }

// Err returns all problems found so far as an [*Errors], sorted by position
// and capped, or nil.
func (d *Doc) Err() error { return d.problems.errors() }

// depthLimit stops the scanner before any node is built. It counts bracketed
// and indented levels apart, so the tree is counted once more.
type depthLimit struct {
	most    int
	tripped bool
}

func (l *depthLimit) CheckDepth(depth int, _ *yaml.DepthContext) error {
	if depth > l.most {
		l.tripped = true
		return errors.New("nested too deeply")
	}
	return nil
}

func (*depthLimit) CheckAlias(int, int) error { return nil }

// load is the one call into the YAML parser. The parser signals some internal
// faults by panicking; a file must not be able to end the program, so that is
// caught here and becomes an error of the file.
func (d *Doc) load() (top *yaml.Node, problem *Problem) {
	limit := &depthLimit{most: d.opt.MaxDepth}
	defer func() {
		if r := recover(); r != nil {
			top, problem = nil, &Problem{Pos: Pos{1, 1}, Found: "the YAML parser failed on this file",
				Expected: "plain 'key: value' lines", Fix: "take out the part written last and try again"}
		}
	}()
	var n yaml.Node
	err := yaml.Load([]byte(d.src.text), &n, yaml.WithPlugin(limit))
	switch {
	case limit.tripped:
		p := tooDeep(d.opt.MaxDepth)
		p.Pos = Pos{1, 1}
		var e *yaml.LoadError
		if errors.As(err, &e) && e.Mark.Line > 0 {
			p.Pos = Pos{e.Mark.Line, max(e.Mark.Column-1, 1)}
		}
		return nil, &p
	case err != nil:
		p := d.syntax(err)
		return nil, &p
	case len(n.Content) == 0:
		p := nothing()
		return nil, &p
	}
	return n.Content[0], nil
}

func nothing() Problem {
	return Problem{Pos: Pos{1, 1}, Found: "the file is empty", Expected: "'key: value' lines"}
}

func tooDeep(most int) Problem {
	return Problem{Found: fmt.Sprintf("nested more than %d levels deep", most), Expected: "a flatter file",
		Fix: "look for a bracket that was never closed or a line indented too far"}
}

// builder turns the parser's tree into ours, refusing what the format does
// not have.
type builder struct {
	doc     *Doc
	at      cursor
	tooDeep bool
}

func (b *builder) node(y *yaml.Node, depth int) *Node {
	n := &Node{doc: b.doc, pos: Pos{y.Line, y.Column}}
	n.off = b.at.offset(y.Line, y.Column)
	n.end = n.off
	if y.Anchor != "" && y.Kind != yaml.AliasNode {
		n.refuse(fmt.Sprintf("found the anchor &%s", y.Anchor), "a value", "write the value out where it is needed, or put text that begins with & in quotes")
	}
	if y.Style&yaml.TaggedStyle != 0 || y.Tag == "!" {
		n.refuse("found the tag "+y.Tag, "a value without a tag", "remove it, or put text that begins with ! in quotes")
	}
	switch y.Kind {
	case yaml.MappingNode:
		n.kind = KindMap
	case yaml.SequenceNode:
		n.kind = KindList
	case yaml.AliasNode:
		n.kind = KindScalar
		n.refuse("found the alias *"+y.Value, "a value", "write the value out, or put text that begins with * in quotes")
		return n
	default:
		n.kind = KindScalar
		b.scalar(n, y)
		return n
	}
	if depth > b.doc.opt.MaxDepth {
		if !b.tooDeep {
			p := tooDeep(b.doc.opt.MaxDepth)
			p.Pos = n.pos
			b.doc.problems.add(p)
		}
		b.tooDeep = true
		return n
	}
	if y.Style&yaml.FlowStyle != 0 {
		n.style = flow
	}
	if n.kind == KindList {
		n.items = make([]*Node, len(y.Content))
		for i, c := range y.Content {
			n.items[i] = b.node(c, depth+1)
		}
		return n
	}
	b.entries(n, y, depth)
	return n
}

func (b *builder) entries(n *Node, y *yaml.Node, depth int) {
	n.entries = make([]Entry, 0, len(y.Content)/2)
	seen := make(map[string]*Node, len(y.Content)/2)
	for i := 0; i+1 < len(y.Content); i += 2 {
		key := b.node(y.Content[i], depth+1)
		value := b.node(y.Content[i+1], depth+1)
		if value.Empty() {
			value.pos = key.pos
		}
		n.entries = append(n.entries, Entry{key, value})
		switch {
		case key.bad:
			continue
		case key.kind != KindScalar || key.style == block:
			key.refuse("found "+key.kind.String()+" as a key", "a word before the colon", "")
		case key.Empty():
			key.refuse("a key is missing before the colon", "a word before the colon", "")
		case key.text == "<<" && key.style == plain:
			key.refuse("found the merge key <<", "a key of the format", "write the keys out")
		case len(key.text) > maxKeyBytes:
			key.refuse(fmt.Sprintf("the key has %d bytes", len(key.text)), fmt.Sprintf("at most %d", maxKeyBytes), "")
		}
		if key.bad {
			continue
		}
		if first := seen[key.text]; first != nil {
			if b.doc.problems.counts(key.pos) {
				key.Report(Report{Found: quote(key.text) + " is set twice", Expected: "each key once",
					Fix: "keep one of the two", Other: first, Note: "first set here"})
			}
			key.bad = true
			continue
		}
		seen[key.text] = key
	}
}

func (n *Node) refuse(found, expected, fix string) {
	n.Report(Report{Found: found, Expected: expected, Fix: fix})
	n.bad = true
}

// scalar fills in the text and checks that it is what was written.
func (b *builder) scalar(n *Node, y *yaml.Node) {
	n.text = y.Value
	switch {
	case y.Style&yaml.DoubleQuotedStyle != 0:
		n.style = double
	case y.Style&yaml.SingleQuotedStyle != 0:
		n.style = single
	case y.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		n.style = block
	}
	src := b.doc.src.text
	if n.style == plain && !n.bad {
		if !strings.HasPrefix(src[n.off:], n.text) {
			n.refuse("the text runs on over the next line", "a value on one line",
				"look for a missing colon or dash on the next line, or put the whole text in quotes")
		}
		n.text = src[n.off:min(n.off+len(n.text), len(src))]
		n.end = n.off + len(n.text)
	}
	if n.style == double && !n.bad {
		for _, r := range n.text {
			if what := forbidden(r); what != "" {
				n.refuse("an escape yields "+what, "text that can be printed", "remove it")
				return
			}
		}
		if !utf8.ValidString(n.text) {
			n.refuse("an escape yields bytes that are not UTF-8", "text that can be printed", "remove it")
		}
	}
}
