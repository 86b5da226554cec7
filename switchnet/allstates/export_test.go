package allstates

// What the external tests use of the internal ones.
var (
	ChainNet  = chainNet
	GridNet   = gridNet
	ChainLamp = chainLamp
)
