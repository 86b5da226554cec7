// Package nettest checks device kinds that a program defines for itself.
//
// A [switchnet.Kind] is data, and data has typing errors: a group that leaves out
// a terminal, two positions that do the same, a pilot lamp across its own contact.
// One line in a test finds them:
//
//	func TestTransferSwitch(t *testing.T) {
//		nettest.CheckKind(t, transferSwitch())
//	}
//
// [CheckKind] fails the test for every fault and logs what is odd and may be
// meant. [Examine] returns the same as a value.
//
// It compares a kind with itself and with what the solver makes of it. It does not
// know the device on the bench: whether the screws really do what the kind says is
// found with a proven meter on the device in hand, its supply off.
package nettest
