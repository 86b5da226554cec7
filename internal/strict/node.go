package strict

import (
	"strings"
	"unicode/utf8"
)

// Kind is what a node is. The zero Kind is none.
type Kind uint8

// The kinds of nodes.
const (
	KindMap    Kind = 1 + iota // keys and values
	KindList                   // values in order
	KindScalar                 // text, or nothing at all (see [Node.Empty])
)

// String returns the word for a kind.
func (k Kind) String() string {
	switch k {
	case KindMap:
		return "keys and values"
	case KindList:
		return "a list"
	case KindScalar:
		return "a single value"
	}
	return "nothing"
}

// style is how a node was written.
type style uint8

const (
	plain  style = iota
	single       // 'text'
	double       // "text"
	block        // | or >
	flow         // [list] or {map}
)

// A Node is a value of the file with its place. Reading methods report what
// does not fit to the document and return a zero value with false; on a nil
// node, which is what a missing key yields, they return the same in silence.
type Node struct {
	doc      *Doc
	kind     Kind
	style    style
	bad      bool // already complained about: readers stay silent
	pos      Pos
	off, end int // bytes of the text the node covers
	text     string
	entries  []Entry
	items    []*Node
}

// An Entry is a key of a map with its value.
type Entry struct {
	Key   *Node // a scalar
	Value *Node // never nil; Empty when nothing stands after the colon
}

// Kind returns what the node is; zero for a nil node.
func (n *Node) Kind() Kind {
	if n == nil {
		return 0
	}
	return n.kind
}

// Pos returns where the node begins; for a value that was left out, where its
// key begins. The zero Pos for a nil node.
func (n *Node) Pos() Pos {
	if n == nil {
		return Pos{}
	}
	return n.pos
}

// Entries returns the entries of a map in order; nil for another node. It
// reports nothing and makes no key a known one.
func (n *Node) Entries() []Entry {
	if n == nil {
		return nil
	}
	return n.entries
}

// Doc returns the document the node stands in; nil for a nil node.
func (n *Node) Doc() *Doc {
	if n == nil {
		return nil
	}
	return n.doc
}

// Raw returns the text of a scalar as it was written, without quotes and with
// the escapes of double quotes resolved; "" for other nodes. It reports nothing.
func (n *Node) Raw() string {
	if n == nil {
		return ""
	}
	return n.text
}

// Quoted reports whether a scalar stood in quotes or in a block of text.
func (n *Node) Quoted() bool { return n != nil && n.kind == KindScalar && n.style != plain }

// Empty reports whether the value was left out: 'key:' with nothing after it.
func (n *Node) Empty() bool {
	return n != nil && n.kind == KindScalar && n.style == plain && n.text == ""
}

// Sound reports whether the node is there and nothing was complained about
// while reading it.
func (n *Node) Sound() bool { return n != nil && !n.bad }

// Text returns the text of a scalar. What says what it stands for ("the name
// of a box") in the message when it is something else or was left out.
func (n *Node) Text(what string) (string, bool) {
	if !n.Sound() {
		return "", false
	}
	if n.kind != KindScalar {
		n.Report(Report{Found: "found " + n.kind.String(), Expected: what})
		return "", false
	}
	if n.Empty() {
		n.Report(Report{Found: "nothing is written here", Expected: what})
		return "", false
	}
	return n.text, true
}

// OneOf returns the text of a scalar that must be one of words, exactly; what
// says what they are ("a kind of box"). A near miss is suggested.
func (n *Node) OneOf(what string, words ...string) (string, bool) {
	text, ok := n.Text(what + ": " + oneOf(words))
	if !ok {
		return "", false
	}
	for _, w := range words {
		if w == text {
			return text, true
		}
	}
	n.Report(Report{Found: quote(text) + " is not " + what, Expected: oneOf(words), Fix: DidYouMean(text, words)})
	return "", false
}

// List returns the values of a list in file order; what says what they are
// ("a list of boxes"). A value left out is an empty list.
func (n *Node) List(what string) []*Node {
	if !n.Sound() || n.Empty() {
		return nil
	}
	if n.kind != KindList {
		n.Report(Report{Found: "found " + n.kind.String(), Expected: what, Fix: "begin each of them with '- ' on a line of its own"})
		return nil
	}
	return n.items
}

// A Report is what a reader has to say about a node.
type Report struct {
	Found    string // what was found, or what is missing
	Expected string // what would be right
	Fix      string // what to do, as an imperative or a question
	At       int    // bytes into the node's text where the trouble begins
	Other    *Node  // the second place, when two disagree
	Note     string // what the second place has to do with it
}

// Report adds a problem at the node to the document.
func (n *Node) Report(r Report) {
	if n == nil {
		return
	}
	pos := n.pos
	if r.At > 0 && r.At <= len(n.text) {
		skip := 0 // an opening quote
		if n.style == single || n.style == double {
			skip = 1
		}
		src := n.doc.src.text
		if from := n.off + skip; from+r.At <= len(src) && strings.HasPrefix(src[from:], n.text[:r.At]) {
			pos.Column += skip + utf8.RuneCountInString(n.text[:r.At])
		}
	}
	if !n.doc.problems.counts(pos) {
		return
	}
	p := Problem{Pos: pos, Found: r.Found, Expected: r.Expected, Fix: r.Fix}
	if r.Other != nil {
		p.Other = &Place{Pos: r.Other.pos, Note: r.Note}
		if r.Other.doc != n.doc {
			if n.doc.problems.other == nil {
				n.doc.problems.other = make(map[*Place]*source)
			}
			n.doc.problems.other[p.Other] = r.Other.doc.src
		}
	}
	n.doc.problems.add(p)
}

// DidYouMean returns 'did you mean "x"?' for the candidate nearest to word, ""
// when none is near ([Suggest]).
func DidYouMean(word string, candidates []string) string {
	if s := Suggest(word, candidates); s != "" {
		return "did you mean " + quote(s) + "?"
	}
	return ""
}
