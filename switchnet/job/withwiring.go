package job

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.com/switchleg/internal/strict"
	"example.com/switchleg/switchnet/wiring"
)

// wiringKeys are the lists that make a file a wiring, in the order in which they are
// written.
var wiringKeys = topKeys[slices.Index(topKeys, "cables"):]

// WithWiring returns the file in its canonical layout with the cables, devices and
// ends of w in it, and with everything else as it was written, comments included. A
// list of the kind that the file has already is written anew where it stands, and
// the comments within it are gone; the others come last.
//
// The result is read back: it says what the file says, with w for its wiring, or
// there is an error and no text. Feeds, boxes, lights and supply of w are those of the
// file, and the year of installation stays the file's.
func WithWiring(name string, src []byte, w wiring.Spec, opt *Options) ([]byte, error) {
	f, err := Parse(name, src, opt)
	if err != nil {
		return nil, err
	}
	w.Installed = f.Wiring.Installed
	f.Wiring = w
	text, err := Format(name, src, opt)
	if err != nil {
		return nil, err
	}
	lists, err := f.wiringLists(opt)
	if err != nil {
		return nil, err
	}
	// The result may be larger than what was read: the limits are about what
	// others write.
	var limits Options
	if opt != nil {
		limits = *opt
	}
	text = replaceLists(text, lists)
	limits.MaxBytes = max(limits.MaxBytes, strict.DefaultMaxBytes, 4*len(text))
	limits.MaxEntries = max(limits.MaxEntries, strict.DefaultMaxEntries, len(text))
	if text, err = Format(name, text, &limits); err != nil {
		return nil, fmt.Errorf("job: not written: %w", err)
	}
	back, err := Parse(name, text, &limits)
	if err != nil {
		return nil, fmt.Errorf("job: not written, because it could not be read back: %w", err)
	}
	if what := differs(f, back); what != "" {
		return nil, fmt.Errorf("job: not written, because %s would not read back the same", what)
	}
	return text, nil
}

// wiringLists writes the lists of the wiring, each with its key.
func (f *File) wiringLists(opt *Options) (map[string]string, error) {
	w := &writer{f: f, opt: opt}
	each(w, "cables", f.Wiring.Cables, w.cable)
	each(w, "devices", f.Wiring.Devices, w.device)
	w.ends()
	if len(w.errs) > 0 {
		return nil, errors.Join(w.errs...)
	}
	lists := map[string]string{}
	for _, s := range sections(w.b.String()) {
		lists[s.key] = s.text
	}
	return lists, nil
}

// A section is a part of a file in its canonical layout: a key of the top level with
// its value, or, without a key, what stands between two of them.
type section struct{ key, text string }

// sections cuts a file in its canonical layout, where what belongs to a key is
// indented and everything else at the left edge is a key or a comment.
func sections(text string) []section {
	var out []section
	for line := range strings.Lines(text) {
		key, _, ok := strings.Cut(line, ":")
		switch c := line[0]; {
		case c == '#':
			key, ok = "", true
		case c == ' ' || c == '\n':
			ok = false
		}
		if ok || len(out) == 0 {
			out = append(out, section{key: key})
		}
		out[len(out)-1].text += line
	}
	return out
}

// replaceLists puts lists of a wiring into a file in its canonical layout.
func replaceLists(text []byte, lists map[string]string) []byte {
	var out bytes.Buffer
	for _, s := range sections(string(text)) {
		if slices.Contains(wiringKeys, s.key) {
			s.text = lists[s.key]
			delete(lists, s.key)
		}
		out.WriteString(s.text)
	}
	for _, key := range wiringKeys {
		if s, ok := lists[key]; ok {
			out.WriteString("\n" + s)
		}
	}
	return out.Bytes()
}
