package plan_test

import (
	"context"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/intent"
	"example.com/switchleg/switchnet/plan"
	"example.com/switchleg/switchnet/wiring"
)

// Which exemptions from the neutral at a switch each edition of NEC 404.2(C) has. A switch
// loop at an exempt place needs a cable of two conductors, elsewhere of three; an exemption
// of another edition is refused.
func TestExemptionsByEdition(t *testing.T) {
	editions := []string{"2008", "2011", "2014", "2017", "2020", "2023"}
	rows := []struct {
		by string
		in string // a letter an edition: y it holds, n it is none; - the edition asks for no neutral
	}{
		{"raceway with room", "-yyyyy"},
		{"open cavity", "-ynnnn"},
		{"accessible box", "-nyyyy"},
		{"integral enclosure", "-nyyyy"},
		{"automatic control", "-nyyyy"},
		{"controls a receptacle", "-nyyyy"},
		{"not dwelled in", "-nynnn"},
		{"whole area seen", "-nynnn"},
	}
	for _, row := range rows {
		for k, edition := range editions {
			us := *region(t, "us-2023")
			us.Edition = edition
			s := newSketch("p").box(wiring.Panel, "p").box(wiring.CeilingBox, "c").box(wiring.DeviceBox, "s").
				run("p", "c", 9).run("c", "s", 9).light("l", "c").control("g", []string{"l"}, "s")
			loop := func(by string) string {
				in := s.Intent
				if by != "" {
					in.Exemptions = []intent.Exemption{{Box: "s", By: by}}
				}
				p, err := plan.New(context.Background(), in, &us, nil)
				if err != nil {
					return err.Error()
				}
				return p.Cables[1].Type
			}
			plain, exempt := loop(""), loop(row.by)
			switch row.in[k] {
			case '-':
				if plain != "14/2" {
					t.Errorf("%s: the loop is %s, and no neutral was asked for then", edition, plain)
				}
			case 'y':
				if plain != "14/3" || exempt != "14/2" {
					t.Errorf("%s, %s: the loop is %s, exempt %s; want 14/3 and 14/2", edition, row.by, plain, exempt)
				}
			case 'n':
				if !strings.Contains(exempt, "is no exemption of") {
					t.Errorf("%s, %s: %s; want it refused", edition, row.by, exempt)
				}
			}
		}
	}
}
