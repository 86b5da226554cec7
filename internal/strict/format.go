package strict

import "slices"

// Format returns the document in its one canonical layout: two spaces for each
// level, lists indented below their key, one blank line before and after each
// group of the top level and nowhere two in a row; keys in the order they were
// written; what stood in brackets stays in brackets where it fits on a line of
// 100 runes and holds no comment; quotes only where the text needs them or
// would mean something else to another reader of YAML (an 'on', a '1.10').
// Comments are kept, each with the line or group it stood at.
//
// Formatting the result changes nothing, and reading it gives the same keys
// and values: it is read back before it is returned, and the error says so if
// it cannot be (for one, because it would be larger than the limit). A
// document with doubled keys, anchors, tags or the like is not formatted; its
// problems are the error. What readers reported does not matter.
func (d *Doc) Format() ([]byte, error) {
	if d.unsound != nil {
		return nil, d.unsound
	}
	p := &printer{src: d.src, root: d.root, flat: make(map[*Node]string), comments: d.comments()}
	out := []byte(p.document())

	back, err := Parse(d.src.name, out, d.opt)
	if err == nil {
		err = back.unsound
	}
	if err != nil {
		return nil, &FormatError{File: d.src.name, Err: err}
	}
	if !sameNode(d.root, back.root) || !slices.Equal(commentTexts(p.comments), commentTexts(back.comments())) {
		return nil, &FormatError{File: d.src.name}
	}
	return out, nil
}

// A FormatError says that a file could not be laid out so that it reads back
// the same. Err is the complaint about the layout, nil when it read as
// something else.
type FormatError struct {
	File string
	Err  error
}

func (e *FormatError) Error() string {
	if e.Err == nil {
		return e.File + ": not formatted, because the result would not read back the same; write it in plainer 'key: value' lines"
	}
	return e.File + ": not formatted, because the result could not be read back: " + e.Err.Error()
}

// Unwrap returns the complaint about the layout.
func (e *FormatError) Unwrap() error { return e.Err }

func sameNode(a, b *Node) bool {
	return a.kind == b.kind && a.text == b.text && a.Empty() == b.Empty() &&
		slices.EqualFunc(a.items, b.items, sameNode) &&
		slices.EqualFunc(a.entries, b.entries, func(x, y Entry) bool { return sameNode(x.Key, y.Key) && sameNode(x.Value, y.Value) })
}

func commentTexts(list []comment) []string {
	out := make([]string, len(list))
	for i, c := range list {
		out[i] = c.text
	}
	slices.Sort(out)
	return out
}
