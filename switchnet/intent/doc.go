// Package intent says what is wanted of a job: which lights, switched from which
// places, fed from where, along which possible runs.
//
// # Use
//
// Fill an [Intent], plain data in the order in which it was written down, and call
// [Intent.Check] for everything in it that contradicts itself. Package plan turns an
// intent into a wiring; [Control.Switches] finds, in a wiring that exists, the devices
// that stand for the places of a control.
//
// # What it does not do
//
// It decides nothing and chooses no cable.
package intent
