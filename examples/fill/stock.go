package main

import (
	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor/rules"
)

// held is what a box is to hold besides conductors.
type held struct{ luminaire, device bool }

// use tells it from the contents.
func use(c *boxfill.Contents) held {
	h := held{luminaire: c.Canopy || len(c.Fittings) > 0, device: len(c.Devices) > 0}
	for _, entry := range c.Conductors {
		h.luminaire = h.luminaire || entry.Role == boxfill.FixtureWire
	}
	return h
}

// stock is what the region has to offer when the box is too small. A box with room
// for devices side by side is made for devices and is left out where a luminaire hangs
// on it; an octagonal box takes none and is left out where there are some. Whether a
// box suits its place in any other way is for the reader to judge.
func stock(region *rules.Region, h held) boxfill.RemedyOptions {
	var options boxfill.RemedyOptions
	for _, b := range region.Stock.Boxes {
		kind, err := region.Box.FindBox(b.Box.Section.Type)
		known := b.Box.Section.Type != "" && err == nil
		forDevices := known && (kind.Gangs > 0 || kind.PerGang)
		if h.luminaire && forDevices || h.device && known && kind.Shape == "octagon" {
			continue
		}
		options.Stock = append(options.Stock, b.Box)
	}
	for _, a := range region.Stock.Additions {
		options.Additions = append(options.Additions, a.Addition)
	}
	return options
}
