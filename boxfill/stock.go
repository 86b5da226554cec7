package boxfill

// A StockBox is a box that can be had: what a choice of box is made from.
type StockBox struct {
	Name string `json:"name"` // as the stock list calls it
	// Section is its type in the table or the volume marked on it. Its Count is
	// the number ganged together, or the gangs of a type measured by the gang.
	Section Section  `json:"section"`
	Gangs   int      `json:"gangs,omitzero"`  // device gangs; zero leaves it to the type, and where that says nothing they are not checked
	Clamps  Clamping `json:"clamps,omitzero"` // how cables are held in it; zero keeps the clamps of the contents
}

// A StockAddition is a ring or cover that can be had.
type StockAddition struct {
	Name     string
	Addition Addition
}

// A Clamping is how a box holds its cables. The zero Clamping is unset.
type Clamping int

// The ways of holding cables.
const (
	InternalClamps Clamping = iota + 1 // clamps inside the box
	ExternalClamps                     // connectors with the clamp outside
	NoClamps                           // cables are secured outside the box
)

var clampingWords = []string{"", "internal", "external", "none"}

func (c Clamping) String() string                   { return word(clampingWords, c) }
func (c Clamping) MarshalText() ([]byte, error)     { return marshalWord(clampingWords, c) }
func (c *Clamping) UnmarshalText(text []byte) error { return unmarshalWord(clampingWords, c, text) }
