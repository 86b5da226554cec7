package switchnet

import "example.com/switchleg/internal/dense"

// The numbers under which [Net.Dense] and [State.Indices] hold devices, loads and
// terminals. They are for the solvers of this module; everyone else has names.

// DeviceIndex returns the number of a device, or false if the net has none of that
// name. It is for the solvers of this module.
func (n *Net) DeviceIndex(r Ref) (int, bool) { return n.device(r) }

// DeviceAt returns the device with a number that [Net.DeviceIndex] gave. Its kind is
// the net's own and must not be changed. It is for the solvers of this module.
func (n *Net) DeviceAt(i int) Device { return Device{n.deviceRef[i], n.kinds[n.deviceKind[i]]} }

// LoadIndex returns the number of a load, or false if the net has none of that name.
// It is for the solvers of this module.
func (n *Net) LoadIndex(r Ref) (int, bool) { return n.load(r) }

// LoadAt returns the load with a number that [Net.LoadIndex] gave. It is for the
// solvers of this module.
func (n *Net) LoadAt(i int) Load { return n.loads[i] }

// NetIndex returns the number of the contracted net a terminal is on, or -1 and false
// if the net has no such terminal. It is for the solvers of this module.
func (n *Net) NetIndex(t Terminal) (int, bool) {
	i, ok := n.terminal(t)
	if !ok {
		return -1, false
	}
	return int(n.termNet[i]), true
}

// Dense returns the kind in the form that solvers run on, or what is wrong with
// it as [Problems].
func (k Kind) Dense() (dense.Kind, error) {
	if ps := k.Validate(); len(ps) > 0 {
		return dense.Kind{}, ps
	}
	return k.compile(), nil
}
