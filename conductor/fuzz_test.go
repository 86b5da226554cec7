package conductor

import "testing"

func FuzzParseCableType(f *testing.F) {
	for _, seed := range []string{"14/3", "14/2 without ground, 60 C", "12/2 metal-clad", "14/2/2", "12/2 copper-clad aluminum", "1.5 mm2 twin and earth, old colours",
		"loose 14 AWG 90 C black white/red green", "loose 250 kcmil aluminum 75 C black", "14/3 14/3", "1 mm2", "loose 1.5 mm2 70 C brown blue green/yellow"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, err := ParseCableType(text)
		if err != nil {
			return
		}
		if err := c.Check(); err != nil {
			t.Errorf("%q is unsound: %v", text, err)
		}
		if back, err := ParseCableType(c.Name); err != nil || !back.equal(c) {
			t.Errorf("%q is named %q, which reads as %+v, %v", text, c.Name, back, err)
		}
	})
}

func FuzzParseSize(f *testing.F) {
	for _, seed := range []string{"14 AWG", "1/0 AWG", "250 kcmil", "1.5 mm2", "0.000001 mm2", "14", "2500 kcmil", " 4/0AWG "} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseSize(text)
		if err != nil {
			return
		}
		if back, err := ParseSize(s.String()); err != nil || back != s || !s.Valid() || s.Area() < 0 {
			t.Errorf("%q is %s, which reads as %v, %v", text, s, back, err)
		}
	})
}
