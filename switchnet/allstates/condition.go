package allstates

import "example.com/switchleg/switchnet"

// conditionOf returns the kind of condition, less one, of a net with a final
// label; live says that a line reaches it through loads.
func conditionOf(l label, live bool) uint8 {
	k := switchnet.Isolated
	switch {
	case l == shorted:
		k = switchnet.Shorted
	case isLine(l):
		k = switchnet.Live
	case l == ground:
		k = switchnet.OnGround
	case l != noRail:
		k = switchnet.OnNeutral
	case live:
		k = switchnet.LiveThroughLoad
	}
	return uint8(k - 1)
}
