package strict_test

import (
	"fmt"
	"runtime"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"

	"example.com/switchleg/internal/strict"
)

// tree is a value to be written in many ways: text, list or map.
type tree struct {
	text    string
	items   []tree
	entries []pair
	kind    strict.Kind
}

type pair struct {
	key   string
	value tree
}

var word = rapid.OneOf(
	rapid.StringMatching(`[a-z][a-z0-9-]{0,7}`),
	rapid.SampledFrom([]string{"010", "1.10", "on", "no", "~", "null", "34 ft", "C3.white", "a: b", "x #y", " pad ", "it's", `say "x"`, `back\slash`,
		"[x", "{", "- a", "-", "?", "é ö", "a\nb", "a\nb\n", "\n", " \n x", "tab\tin", "&a", "*a", "!t", "%d", "@x", "`", "12:30", "2004-03-31", ":", "a:", "#", "<<", "=", ",", "a,b", "\u00a0", "😀", "---", "..."}),
)

func treeOf(depth int) *rapid.Generator[tree] {
	return rapid.Custom(func(t *rapid.T) tree {
		kind := strict.KindScalar
		if depth > 0 {
			kind = rapid.SampledFrom([]strict.Kind{strict.KindScalar, strict.KindList, strict.KindMap}).Draw(t, "kind")
		}
		v := tree{kind: kind}
		switch kind {
		case strict.KindScalar:
			v.text = word.Draw(t, "text")
		case strict.KindList:
			v.items = rapid.SliceOfN(treeOf(depth-1), 0, 4).Draw(t, "items")
		case strict.KindMap:
			v.entries = entriesOf(depth-1, 0).Draw(t, "entries")
		}
		return v
	})
}

func entriesOf(depth, least int) *rapid.Generator[[]pair] {
	pairs := rapid.Custom(func(t *rapid.T) pair { return pair{word.Draw(t, "key"), treeOf(depth).Draw(t, "value")} })
	return rapid.SliceOfNDistinct(pairs, least, 5, func(p pair) string { return p.key })
}

// writer writes a tree with random style and puts comments and blank lines
// wherever YAML lets it.
type writer struct {
	t        *rapid.T
	b        strings.Builder
	comments []string
}

func (w *writer) flip(odds int) bool { return rapid.IntRange(0, odds).Draw(w.t, "flip") == 0 }

func (w *writer) comment() string {
	text := fmt.Sprintf("# note %d", len(w.comments))
	w.comments = append(w.comments, text)
	return text
}

// lines writes what may stand between two lines.
func (w *writer) lines(indent int) {
	for w.flip(4) {
		if w.flip(1) {
			w.b.WriteString("\n")
			continue
		}
		extra := rapid.IntRange(0, 3).Draw(w.t, "extra")
		w.b.WriteString(strings.Repeat(" ", indent+extra) + w.comment() + "\n")
	}
}

func (w *writer) end() {
	if w.flip(4) {
		w.b.WriteString("  " + w.comment())
	}
	w.b.WriteString("\n")
}

func (w *writer) value(v tree, indent int) {
	switch {
	case v.kind == strict.KindScalar || len(v.items)+len(v.entries) == 0 || w.flip(2):
		w.b.WriteByte(' ')
		w.flow(v, indent+1)
		w.end()
	case v.kind == strict.KindMap:
		w.end()
		w.block(v.entries, indent+rapid.IntRange(1, 4).Draw(w.t, "step"))
	default:
		w.end()
		w.list(v.items, indent+rapid.IntRange(1, 4).Draw(w.t, "step"))
	}
}

func (w *writer) block(entries []pair, indent int) {
	for _, e := range entries {
		w.lines(indent)
		w.b.WriteString(strings.Repeat(" ", indent) + strict.Quote(e.key) + ":")
		w.value(e.value, indent)
	}
	w.lines(indent)
}

func (w *writer) list(items []tree, indent int) {
	for _, item := range items {
		w.lines(indent)
		w.b.WriteString(strings.Repeat(" ", indent) + "-")
		w.value(item, indent)
	}
}

// flow writes a value in brackets or quotes, now and then over several lines.
func (w *writer) flow(v tree, indent int) {
	brk := func() {
		if w.flip(6) {
			if w.flip(1) {
				w.b.WriteString(" " + w.comment())
			}
			w.b.WriteString("\n" + strings.Repeat(" ", indent+1))
		}
	}
	switch v.kind {
	case strict.KindScalar:
		w.b.WriteString(strict.Quote(v.text))
	case strict.KindList:
		w.b.WriteByte('[')
		for i, item := range v.items {
			if i > 0 {
				w.b.WriteString(", ")
			}
			brk()
			w.flow(item, indent)
		}
		brk()
		w.b.WriteByte(']')
	case strict.KindMap:
		w.b.WriteByte('{')
		for i, e := range v.entries {
			if i > 0 {
				w.b.WriteString(", ")
			}
			brk()
			w.b.WriteString(strict.Quote(e.key) + ": ")
			w.flow(e.value, indent)
		}
		brk()
		w.b.WriteByte('}')
	}
}

// equal reports whether a node reads as the tree.
func equal(n *strict.Node, v tree) bool {
	if n.Kind() != v.kind {
		return false
	}
	switch v.kind {
	case strict.KindMap:
		return slices.EqualFunc(n.Entries(), v.entries, func(e strict.Entry, p pair) bool { return e.Key.Raw() == p.key && equal(e.Value, p.value) })
	case strict.KindList:
		return slices.EqualFunc(n.List("a list"), v.items, equal)
	}
	return n.Raw() == v.text
}

// TestWrittenIsRead: whatever the style, comments and blank lines, a tree reads
// as itself, its layout is a fixed point that reads as itself, and no comment
// is lost or doubled.
func TestWrittenIsRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := tree{kind: strict.KindMap, entries: entriesOf(4, 1).Draw(t, "file")}
		w := &writer{t: t}
		w.block(v.entries, 0)
		src := w.b.String()
		doc, err := strict.Parse("f.yaml", []byte(src), strict.Options{})
		if err == nil {
			err = doc.Err()
		}
		if err != nil {
			t.Fatalf("%v\n%s", err, src)
		}
		if !equal(doc.Root(), v) {
			t.Fatalf("reads as something else:\n%s", src)
		}
		out, err := doc.Format()
		if err != nil {
			t.Fatalf("%v\n%s", err, src)
		}
		back, err := strict.Parse("f.yaml", out, strict.Options{})
		if err != nil || !equal(back.Root(), v) {
			t.Fatalf("the layout reads as something else: %v\n%s\n--- from ---\n%s", err, out, src)
		}
		again, err := back.Format()
		if err != nil || string(again) != string(out) {
			t.Fatalf("no fixed point: %v\n%s\n--- became ---\n%s", err, out, again)
		}
		for _, c := range w.comments {
			if n := countLines(string(out), c); n != 1 {
				t.Fatalf("%q is there %d times:\n%s\n--- from ---\n%s", c, n, out, src)
			}
		}
		if strings.Contains(string(out), "\n\n\n") || strings.HasPrefix(string(out), "\n") || strings.HasSuffix(string(out), "\n\n") {
			t.Fatalf("blank lines:\n%q", out)
		}
	})
}

func countLines(text, suffix string) int {
	n := 0
	for line := range strings.SplitSeq(text, "\n") {
		if strings.HasSuffix(line, suffix) {
			n++
		}
	}
	return n
}

// TestQuoteReadsBack: any printable text stands anywhere a value can.
func TestQuoteReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(word, rapid.StringN(1, 30, 90)).Draw(t, "text")
		if strings.ContainsFunc(text, func(r rune) bool {
			return r < 0x20 && r != '\n' && r != '\t' || r >= 0x7f && r < 0xa0 || r == 0x2028 || r == 0x2029 || r == 0xfeff || r == 0xfffe || r == 0xffff ||
				unicode.Is(unicode.Bidi_Control, r)
		}) || !utf8.ValidString(text) {
			t.Skip("the text drawn holds what a file may not, so it cannot be read back")
		}
		q := strict.Quote(text)
		src := "a: " + q + "\nb: [" + q + ", {" + q + ": " + q + "}]\nc:\n  - " + q + "\n" + q + ": d\n"
		doc, err := strict.Parse("f.yaml", []byte(src), strict.Options{})
		if err == nil {
			err = doc.Err()
		}
		if text == "a" || text == "b" || text == "c" {
			t.Skip("the key drawn is one that the test adds itself")
		}
		if err != nil {
			t.Fatalf("%q as %s: %v", text, q, err)
		}
		m := doc.Root().Map("a file")
		b := m.Get("b").List("a list")
		for i, n := range []*strict.Node{m.Get("a"), b[0], b[1].Entries()[0].Key, b[1].Entries()[0].Value, m.Get("c").List("a list")[0], doc.Root().Entries()[3].Key} {
			if n.Raw() != text {
				t.Errorf("place %d: %q as %s reads %q", i, text, q, n.Raw())
			}
		}
	})
}

// TestPositionsArePlaces: every node stands where its text begins.
func TestPositionsArePlaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "keys")
		var b strings.Builder
		for i := range n {
			pad := strings.Repeat(" ", rapid.IntRange(0, 5).Draw(t, "pad"))
			fmt.Fprintf(&b, "ké%d: %s[ä%d, {w: ö%d}]\n", i, pad, i, i)
		}
		doc, err := strict.Parse("f.yaml", []byte(b.String()), strict.Options{})
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(b.String(), "\n")
		var check func(n *strict.Node)
		check = func(n *strict.Node) {
			rest := string([]rune(lines[n.Pos().Line-1])[n.Pos().Column-1:])
			switch n.Kind() {
			case strict.KindMap:
				for _, e := range n.Entries() {
					check(e.Key)
					check(e.Value)
				}
			case strict.KindList:
				if rest[0] != '[' {
					t.Errorf("a list stands at %q", rest)
				}
				for _, item := range n.List("a list") {
					check(item)
				}
			default:
				if !strings.HasPrefix(rest, n.Raw()) {
					t.Errorf("%q stands at %q", n.Raw(), rest)
				}
			}
		}
		check(doc.Root())
	})
}

// TestSuggestionsAreNear compares the nearest word with a plain search.
func TestSuggestionsAreNear(t *testing.T) {
	short := rapid.StringMatching(`[ab]{1,6}`)
	rapid.Check(t, func(t *rapid.T) {
		w := short.Draw(t, "word")
		words := rapid.SliceOfN(short, 0, 6).Draw(t, "words")
		got := strict.Suggest(w, words)
		best, dist := "", 3
		for _, c := range words {
			if d := edits(w, c); d < dist && d < len(w) && d < len(c) {
				best, dist = c, d
			}
		}
		if got != best {
			t.Errorf("nearest to %s of %q is %q, got %q", w, words, best, got)
		}
	})
}

// edits is the distance of two words by its recursive definition.
func edits(a, b string) int {
	if a == "" || b == "" {
		return len(a) + len(b)
	}
	if a[0] == b[0] {
		return edits(a[1:], b[1:])
	}
	d := 1 + min(edits(a[1:], b), edits(a, b[1:]), edits(a[1:], b[1:]))
	if len(a) > 1 && len(b) > 1 && a[0] == b[1] && a[1] == b[0] {
		d = min(d, 1+edits(a[2:], b[2:]))
	}
	return d
}

// TestHostileTextsCostWhatIsStated reads texts made to be expensive: each ends
// in a result or an error, and takes memory in proportion to the text.
func TestHostileTextsCostWhatIsStated(t *testing.T) {
	const size = 1 << 18
	fill := func(s string) string { return strings.Repeat(s, size/len(s)) }
	for name, src := range map[string]string{
		"open brackets": fill("["), "open braces": fill("{"), "nested maps": fill("{a: "), "dashes": fill("- "), "question marks": fill("? "),
		"pairs of brackets": "a: [" + fill("[],") + "]", "commas": "a: [" + fill(",") + "]", "colons": fill(": "), "quotes": fill("\"a\" "),
		"aliases": "a: &x b\nc: [" + fill("*x,") + "]", "anchors": "a: [" + fill("&x b,") + "]", "tags": "a: [" + fill("!t a,") + "]",
		"comments": fill("# c\n"), "comments in a list": "a:\n" + fill("- b # c\n"), "comments in brackets": "a: [" + fill("\nb, # c") + "\n]",
		"spaces": fill(" "), "newlines": fill("\n"), "tabs": fill("\t"), "one long word": "a: " + fill("b"), "escapes": "a: \"" + fill("\\x41") + "\"",
		"documents": fill("---\na: b\n"), "directives": fill("%YAML 1.1\n"), "NUL": fill("\x00"), "not UTF-8": fill("\xff"), "doubled keys": fill("a: b\n"),
		"pairs": "a: [" + fill("a: b,") + "]", "explicit pairs": "a: [" + fill("? a : b,") + "]", "braces of keys": "a: {" + fill("b,") + "}",
		"deeper and deeper": strings.Join(func() (lines []string) {
			for i := range 700 {
				lines = append(lines, strings.Repeat(" ", i)+"a:")
			}
			return lines
		}(), "\n"),
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		doc, err := strict.Parse(name, []byte(src), strict.Options{})
		if err == nil {
			readAll(doc.Root())
			err = doc.Err()
			_, _ = doc.Format() // may well be refused
		}
		runtime.ReadMemStats(&after)
		if err != nil {
			checkErrors(t, err)
		}
		// v4 allocates up to 900 bytes for each byte of brackets, most of it for a moment
		if used := after.TotalAlloc - before.TotalAlloc; used > 1500*size {
			t.Errorf("%s: %d bytes for %d", name, used, len(src))
		}
	}
}
