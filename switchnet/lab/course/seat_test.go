package course

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestNeighbours holds who may share a variant with whom: with two variants nobody with
// the left, with three nobody with who sits in front either, with five nobody across.
func TestNeighbours(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var s Secret
		s.key[0], s.key[1] = rapid.Byte().Draw(t, "secret"), rapid.Byte().Draw(t, "more of it")
		n := rapid.IntRange(0, 80).Draw(t, "students")
		row := rapid.IntRange(0, 12).Draw(t, "row")
		variants := rapid.IntRange(1, 12).Draw(t, "variants")
		got := seats(s, "1", n, row, variants)
		if again := seats(s, "1", n, row, variants); len(got) != n || !slices.Equal(got, again) {
			t.Fatalf("%v, then %v", got, again)
		}
		if longer := seats(s, "1", n+3, row, variants); !slices.Equal(longer[:n], got) {
			t.Fatalf("three who come later change what the first have: %v, %v", got, longer)
		}
		if row == 0 {
			row = max(n, 1)
		}
		share := func(i, k, enough int, who string) {
			if variants >= enough && got[i] == got[k] {
				t.Fatalf("%d shares variant %d with who sits %s, of %d variants: %v", i, got[i], who, variants, got)
			}
		}
		for i := range got {
			if got[i] < 0 || got[i] >= variants {
				t.Fatalf("there is no variant %d", got[i])
			}
			if i%row > 0 {
				share(i, i-1, 2, "at the left")
			}
			if i >= row {
				share(i, i-row, 3, "in front")
				if i%row > 0 {
					share(i, i-row-1, 5, "across")
				}
				if i%row < row-1 {
					share(i, i-row+1, 5, "across")
				}
			}
		}
		if row >= n { // one row
			uses := make([]int, variants)
			for _, v := range got {
				uses[v]++
			}
			if slices.Max(uses)-slices.Min(uses) > 1 {
				t.Fatalf("variants are given %v times", uses)
			}
		}
	})
}

// TestSecretDecides wants other seats under another secret or another seed.
func TestSecretDecides(t *testing.T) {
	one := Secret{key: [32]byte{1}, set: true}
	two := Secret{key: [32]byte{2}, set: true}
	if a, b, c := seats(one, "1", 24, 6, 6), seats(two, "1", 24, 6, 6), seats(one, "2", 24, 6, 6); slices.Equal(a, b) || slices.Equal(a, c) {
		t.Errorf("%v, %v, %v", a, b, c)
	}
	if one.seed("a", "bc") == one.seed("ab", "c") || one.seed("a") == two.seed("a") {
		t.Error("other words, the same seed")
	}
}

// TestSecretText reads what is written, refuses all else without repeating it, and wants
// that no way to print a secret prints it.
func TestSecretText(t *testing.T) {
	s, err := NewSecret(bytes.NewReader(bytes.Repeat([]byte{0xa7}, 32)))
	if err != nil {
		t.Fatal(err)
	}
	if back, err := ParseSecret(s.Text()); err != nil || back != s {
		t.Errorf("it is read back otherwise: %v", err)
	}
	for _, bad := range []string{"", "\n", "a7", strings.Repeat("a7", 33), strings.Repeat("zz", 32), string(s.Text()) + string(s.Text()), strings.Repeat(" ", 2000)} {
		if _, err := ParseSecret([]byte(bad)); err == nil || len(bad) > 3 && strings.Contains(err.Error(), strings.TrimSpace(bad)) && strings.TrimSpace(bad) != "" {
			t.Errorf("%q: %v", bad, err)
		}
	}
	if _, err := NewSecret(strings.NewReader("too little")); err == nil {
		t.Error("a secret out of ten bytes")
	}
	for _, verb := range []string{"%v", "%+v", "%#v", "%s", "%x", "%d"} {
		for _, v := range []any{s, &s, struct{ S Secret }{s}} {
			if text := fmt.Sprintf(verb, v); strings.Contains(text, "a7a7") || strings.Contains(text, "167 167") || strings.Contains(text, "0xa7") {
				t.Errorf("%s of %T prints %s", verb, v, text)
			}
		}
	}
}
