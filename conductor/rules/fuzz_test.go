package rules_test

import (
	"testing"

	"example.com/switchleg/conductor/rules"
)

// FuzzParse wants of every text, read as a region and as an overlay: no panic,
// and either an error or tables that their packages find sound.
func FuzzParse(f *testing.F) {
	for _, info := range rules.Regions() {
		if text := regionText(f, info.ID); len(text) < 10_000 {
			f.Add(text)
		}
	}
	for _, c := range wrongOverlays {
		f.Add([]byte(c.text))
	}
	f.Add([]byte(shore + "extends: ca\nstock: {boxes: {own: {marked: 18 in3}}}\n"))
	f.Add([]byte(heading + "wiring: {colours: {schemes: {new: {from: 2004-03-31, palettes: {line: {colours: [brown], section: x, confidence: low}}}}}}\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		region, err := rules.Parse("fuzz.yaml", text)
		sound(t, region, err)
		region, err = rules.Load("uk-2018", rules.Overlay{Name: "fuzz.yaml", Text: text})
		sound(t, region, err)
	})
}

func sound(t *testing.T, r *rules.Region, err error) {
	t.Helper()
	if err != nil {
		if r != nil {
			t.Error("an error with a region")
		}
		if err.Error() == "" {
			t.Error("an error without words")
		}
		return
	}
	if err := r.Conductor.Check(); err != nil {
		t.Error(err)
	}
	if err := r.Box.Validate(); err != nil {
		t.Error(err)
	}
	if len(r.Cautions) == 0 {
		t.Error("a region without cautions")
	}
}
