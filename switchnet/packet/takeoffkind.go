package packet

import (
	"fmt"
	"slices"
)

// An ItemKind says what sort of thing an [Item] is.
type ItemKind uint8

// The kinds of item. The zero value is unset.
const (
	BoxItem       ItemKind = iota + 1
	AdditionItem           // a ring or cover that adds room
	BarrierItem            // a barrier in a box
	BreakerItem            // the breaker of a feed
	HandleTieItem          // a tie that joins the handles of breakers
	LightItem              // a light that is wired in
	DeviceItem             // what is on one strap
	PlateItem              // a faceplate, or a blank cover
	ConnectorItem          // a wire connector
	PigtailItem            // a pigtail to a screw
	JumperItem             // a wire from one screw to another
	FittingItem            // a cable connector in a knockout
	SupportItem            // a staple or strap
	NailPlateItem          // a plate that keeps nails and screws from a cable
	TagItem                // a tag on a wire's end
	MarkItem               // a re-marking of a wire's end
)

var itemWords = []string{"", "box", "ring or cover", "barrier", "breaker", "handle tie", "light", "device", "plate",
	"wire connector", "pigtail", "jumper", "cable connector", "support", "nail plate", "wire tag", "marking"}

// ItemKinds returns the kinds in their order.
func ItemKinds() []ItemKind {
	var out []ItemKind
	for k := BoxItem; int(k) < len(itemWords); k++ {
		out = append(out, k)
	}
	return out
}

// String returns the word, "unset" for a kind that has none.
func (k ItemKind) String() string {
	if k == 0 || int(k) >= len(itemWords) {
		return "unset"
	}
	return itemWords[k]
}

// MarshalText writes the word; a kind that has none is an error.
func (k ItemKind) MarshalText() ([]byte, error) {
	if k == 0 || int(k) >= len(itemWords) {
		return nil, fmt.Errorf("packet: %d is no kind of item", k)
	}
	return []byte(itemWords[k]), nil
}

// UnmarshalText reads the word; on an error k is unchanged.
func (k *ItemKind) UnmarshalText(text []byte) error {
	i := slices.Index(itemWords, string(text))
	if i <= 0 {
		return fmt.Errorf("packet: %q is no kind of item; they are %q", text, itemWords[1:])
	}
	*k = ItemKind(i)
	return nil
}
