package rules

import "strings"

// Speaker returns a function that puts the region's words of the trade in place of
// those the packages use: two-way for three-way, strapper for traveler. Names of
// terminals stay, since landings and edits refer to them. A term the region lacks
// stays as it is.
func (t *Terms) Speaker() func(string) string {
	var pairs []string
	for _, p := range [][2]string{
		{"three-way", t.ThreeWay.Word}, {"four-way", t.FourWay.Word}, {"single-pole", t.SinglePole.Word},
		{"switch leg", t.SwitchLeg}, {"travelers", plural(t.Traveler)}, {"traveler", t.Traveler},
	} {
		if p[1] != "" && p[0] != p[1] {
			pairs = append(pairs, p[0], p[1])
		}
	}
	return strings.NewReplacer(pairs...).Replace
}

func plural(word string) string {
	if word == "" {
		return ""
	}
	return word + "s"
}
