package boxfill_test

import (
	"encoding"
	"strings"
	"testing"

	"example.com/switchleg/boxfill"
)

// enumeration is one enumerated type as the test sees it.
type enumeration[E any] interface {
	*E
	encoding.TextUnmarshaler
}

// testWords holds a type to: every value from 1 up has a word that reads back, no
// two the same; zero and the value above have none.
func testWords[E interface {
	~int
	encoding.TextMarshaler
	String() string
}, P enumeration[E]](t *testing.T, last E) {
	t.Helper()
	seen := map[string]bool{}
	for e := E(1); e <= last; e++ {
		text, err := e.MarshalText()
		if err != nil || string(text) != e.String() || len(text) == 0 || seen[string(text)] {
			t.Errorf("%T %d: %q, %v", e, int(e), text, err)
		}
		seen[string(text)] = true
		var back E
		if err := P(&back).UnmarshalText(text); err != nil || back != e {
			t.Errorf("%T %q reads back as %d, %v", e, text, int(back), err)
		}
	}
	for _, bad := range []E{0, -1, last + 1} {
		if text, err := bad.MarshalText(); err == nil {
			t.Errorf("%T %d has the word %q", bad, int(bad), text)
		}
	}
	if zero := E(0); zero.String() != "unset" {
		t.Errorf("%T 0 prints as %q", zero, zero)
	}
	var e E
	if err := P(&e).UnmarshalText([]byte("hat")); err == nil || !strings.Contains(err.Error(), last.String()) || e != 0 {
		t.Errorf("%T from %q: %v, %v", e, "hat", e, err)
	}
}

func TestWords(t *testing.T) {
	testWords(t, boxfill.MetricColumn)
	testWords(t, boxfill.WithOthers)
	testWords(t, boxfill.LargestInsulated)
	testWords(t, boxfill.FixtureWire)
	testWords(t, boxfill.CanopyGround)
	testWords(t, boxfill.NonmetallicBarrier)
	testWords(t, boxfill.DomedCover)
	testWords(t, boxfill.ItemAllowance)
	testWords(t, boxfill.Refused)
	testWords(t, boxfill.NoClamps)
	testWords(t, boxfill.DeepInPlace)
	testWords(t, boxfill.SmallerConductors)
}

func TestWeight(t *testing.T) {
	for _, text := range []string{"0", "0.25", "1", "1.75", "2", "0.000000001"} {
		var w boxfill.Weight
		if err := w.UnmarshalText([]byte(text)); err != nil || w.String() != text {
			t.Errorf("%q reads as %v, %v", text, w, err)
		}
	}
	w := boxfill.One
	if err := w.UnmarshalText([]byte("1 in3")); err == nil || w != boxfill.One {
		t.Errorf("a volume reads as the weight %v, %v", w, err)
	}
}
