package check_test

import (
	"path/filepath"
	"testing"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/check"
)

// TestSections holds what examples of the codes cite by the editions of a region.
func TestSections(t *testing.T) {
	for _, c := range []struct{ file, region, section, why string }{
		{"aluminum-on-device/switch-not-marked", "us-2017", "NEC 404.14(C)", "a switch"},
		{"aluminum-on-device/switch-not-marked", "us-2023", "NEC 404.14(C)", "a switch"},
		{"aluminum-on-device/receptacle-not-marked", "us-2023", "NEC 406.3(C)", "a receptacle has a rule of its own"},
		{"aluminum-on-device/receptacle-not-marked", "ca", "", "a region without the rule cites nothing, and finds it all the same"},
		{"parallel-conductors/hot-doubled", "us-2017", "NEC 310.10(H)", "the letter of its edition"},
		{"parallel-conductors/hot-doubled", "us-2020", "NEC 310.10(G)", "the letter of its edition"},
		{"parallel-conductors/hot-doubled", "ca", "CEC 12-108", "another code"},
		{"two-circuits-one-yoke/two-devices-on-a-strap", "us-2023", "NEC 210.7", "a common disconnect"},
		{"neutrals-joined/all-whites-together", "us-2023", "NEC 200.4(A)", "a neutral serves one circuit"},
		{"neutral-on-ground/in-one-splice", "us-2023", "NEC 250.142(B)", "past the service"},
		{"ground-as-conductor/green-as-leg", "us-2023", "NEC 250.119", "green grounds"},
		{"receptacle-reversed/black-on-the-neutral-screw", "us-2023", "NEC 200.11", "polarity"},
		{"two-under-one-screw/grounds", "us-2023", "NEC 110.14(A)", "one conductor to a terminal"},
		{"loose-end/spare-not-capped", "us-2023", "NEC 110.14(B)", "free ends"},
		{"two-circuits-one-light/a-three-way-chooses", "us-2017", "NEC 300.3(B)", "what one circuit feeds returns by the neutral of another"},
		{"two-circuits-one-light/another-hot-for-a-traveler", "ca", "CEC section 12, rule number not checked", "the same in another code"},
		{"shared-neutral-one-line/two-that-share-it", "us-2023", "NEC 200.4(A)", "a neutral serves one circuit, or lines that are different"},
		{"standby-on-ground/of-a-pilot", "us-2023", "NEC 404.2(C)", "what a device uses itself returns by the neutral"},
		{"neutral-coloured-wrong/marked-as-a-line", "us-2023", "NEC 200.6(A)", "what a neutral looks like"},
		{"line-unmarked/line-marked-white", "us-2023", "NEC 200.7(C)", "what a line looks like"},
	} {
		x := readExample(t, codesDir+"/"+c.file+".yaml")
		region, err := rules.Load(c.region)
		if err != nil {
			t.Fatal(err)
		}
		found := run(t, x.job, check.Everything(region))
		n := 0
		for _, f := range found {
			if string(f.Code) != filepath.Base(filepath.Dir(x.name)) {
				continue
			}
			if n++; f.Section.Section != c.section {
				t.Errorf("%s by %s cites %q, want %q: %s", c.file, c.region, f.Section.Section, c.section, c.why)
			}
		}
		if n == 0 {
			t.Errorf("%s by %s: not found", c.file, c.region)
		}
	}
}
