package check_test

import (
	"strings"
	"testing"

	"example.com/switchleg/conductor/rules"
	"example.com/switchleg/switchnet/check"
	"example.com/switchleg/switchnet/wiring"
)

// supported is the wiring of a floodlight and its switch, its feed cable of some type and
// with something more said of it.
func supported(cable, more, box string) string {
	return `format: 1
rules: us-2023
feeds: [{name: lights, box: panel, breaker: 15 A}]
boxes:
  - {name: panel, kind: panel}
  - {name: slip-door, kind: device, volume: 22.5 in3` + box + `}
cables:
  - {name: C1, type: ` + cable + `, from: panel, to: slip-door` + more + `}
`
}

// TestSupports holds the rules on supports, sheath and free conductor to the editions, the
// constructions and the boxes that they are for.
func TestSupports(t *testing.T) {
	const nm, ext = "14/2", ", clamps: external"
	for _, c := range []struct{ cable, more, box, region, want, why string }{
		{nm, ", to end: {support: 12 in}", ext, "us-2023", "", "just near enough"},
		{nm, ", to end: {support: 305 mm}", ext, "us-2023", "support-too-far NEC 334.30 unlawful", "a hair more"},
		{nm, ", to end: {support: 12 in}", "", "us-2023", "", "how it is clamped is not stated, and 8 in are for a box that does not"},
		{nm, ", to end: {support: 9 in}", ", clamps: none", "us-2023", "support-too-far NEC 314.17(B)(2) exception unlawful", "nothing holds it"},
		{nm, ", to end: {support: 9 in}", ", clamps: none", "us-2017", "support-too-far NEC 314.17(C) exception unlawful", "the letter of its edition"},
		{nm, ", to end: {support: 9 in}", ", clamps: none, gangs: 2", "us-2023", "", "the exception is for one gang"},
		{nm, ", to end: {support: 9 in}", ", clamps: none, material: metal", "us-2023", "", "and for plastic"},
		{nm, ", to end: {support: 9 in}", ", clamps: none", "ca", "", "another code, which has no such exception"},
		{nm, ", from end: {support: 13 in}", "", "us-2023", "support-too-far NEC 334.30 unlawful", "at a panel as at a box"},
		{nm, ", to end: {support: 12 in, along: 19 in}", ext, "us-2023", "support-too-far NEC 334.30 unlawful", "slack"},
		{nm, ", to end: {support: 12 in, along: 19 in}", ext, "us-2020", "", "on which that edition says nothing"},
		{nm, ", to end: {support: 301 mm}", ext, "ca", "support-too-far CEC 12-510(1) unlawful", "300 mm"},
		{"14/2 metal-clad", ", to end: {support: 13 in}", "", "us-2023", "support-too-far NEC 330.30(B) unlawful", "a construction of its own"},
		{"14/2 metal-clad", ", supports apart: 6 ft, to end: {support: 12 in, along: 30 in}", "", "us-2023", "", "six feet, and slack as it likes"},
		{"14/2 metal-clad", ", supports apart: 6.1 ft", "", "us-2023", "supports-apart NEC 330.30(B) unlawful", "more"},
		{"14/2 metal-clad", ", supports apart: 20 ft, to end: {support: 4 ft}", "", "ca", "", "on which nothing sure is known"},
		{nm, ", supports apart: 55 in, installed: 1965", "", "us-2023", "supports-apart NEC 334.30 unlawful when installed", "as old as the data goes"},
		{nm, ", to end: {sheath: 0 in}, installed: 1990", ", material: metal", "us-2023", "sheath-too-short NEC 314.17(B)(2) unlawful only if new", "a rule of 2017 for metal boxes"},
		{nm, ", to end: {sheath: 0 in}, installed: 1990", "", "us-2023", "sheath-too-short NEC 314.17(B)(2) unlawful when installed", "and an old one for plastic"},
		{nm, ", to end: {sheath: 6 mm}", "", "us-2020", "", "the metric figure of the rule for boxes"},
		{nm, ", to end: {sheath: 6 mm}", "", "us-2023", "", "as of the rule for every entry"},
		{nm, ", to end: {sheath: 5.9 mm}", "", "us-2023", "sheath-too-short NEC 314.17(B)(2) unlawful", "and less than both will not do"},
		{nm, ", from end: {sheath: 0 in}", "", "us-2020", "", "a panel had no such rule"},
		{nm, ", from end: {sheath: 0 in}", "", "us-2023", "sheath-too-short NEC 334.19 unlawful", "until it had"},
		{"14/2 metal-clad", ", to end: {sheath: 0 in}", "", "us-2023", "", "armor is no sheath"},
		{"1.5 mm2 twin and earth", ", supports apart: 400 mm", "", "uk-2018", "", "clips of a cable that may run upright"},
		{"1.5 mm2 twin and earth", ", supports apart: 401 mm", "", "uk-2018", "supports-apart On-Site Guide to BS 7671, table D1 defect", "of one however it runs: poor work, and no breach of a rule"},
		{"14/4 metal-clad", ", to end: {support: 13 in}", "", "us-2023", "", "five conductors with the ground: the figure is for four"},
		{nm, ", to end: {free: 150 mm}", "", "us-2023", "", "either figure will do"},
		{nm, ", to end: {free: 149 mm}", "", "us-2023", "conductor-too-short NEC 300.14 unlawful", "and less than both will not"},
		{nm, ", to end: {free: 149 mm}", "", "ca", "conductor-too-short CEC 12-3000(6) unlawful", "150 mm"},
		{"loose 14 AWG 90 C black white", ", to end: {free: 5 in, support: 9 ft, sheath: 0 in}, supports apart: 30 ft", "", "us-2023", "conductor-too-short NEC 300.14 unlawful", "a raceway has other supports"},
	} {
		region, err := rules.Load(c.region)
		if err != nil {
			t.Fatal(err)
		}
		_, job := read(t, "supports.yaml", []byte(strings.Replace(supported(c.cable, c.more, c.box), "us-2023", c.region, 1)))
		said := func(j check.Job) string {
			var out []string
			for _, f := range run(t, j, check.Edition(region)) {
				about := strings.HasPrefix(string(f.Code), "support") || strings.HasSuffix(string(f.Code), "-too-short")
				if about && (!f.ByHand || len(f.Fixes) > 0) {
					t.Errorf("%s: by hand is %v, with %d fixes on the wiring", f.Code, f.ByHand, len(f.Fixes))
				}
				if about {
					out = append(out, string(f.Code)+" "+f.Section.Section+" "+f.Standing.String())
				}
			}
			return strings.Join(out, "; ")
		}
		if got := said(job); got != c.want {
			t.Errorf("%s%s%s by %s: got %q, want %q: %s", c.cable, c.more, c.box, c.region, got, c.want, c.why)
		}
		spec := job.Wiring.Spec()
		for i := range spec.Cables {
			spec.Cables[i] = spec.Cables[i].Turned()
		}
		turned := job
		if turned.Wiring, err = wiring.New(spec); err != nil {
			t.Fatal(err)
		}
		if got := said(turned); got != c.want {
			t.Errorf("%s%s%s by %s, written from the other end: got %q, want %q", c.cable, c.more, c.box, c.region, got, c.want)
		}
	}
}
