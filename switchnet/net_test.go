package switchnet_test

import (
	"testing"

	"example.com/switchleg/switchnet"
)

// TestAskedByName asks for things that are there and things that are not.
func TestAskedByName(t *testing.T) {
	net, err := wired().Build()
	if err != nil {
		t.Fatal(err)
	}
	v := solve(t, net.Rest())
	stair, flood := ref("loft", "stair"), ref("yard", "flood")
	d, ok := net.Device(stair)
	if _, no := net.Device(flood); !ok || no || d.Ref != stair || !d.Kind.Equal(switchnet.SinglePole()) {
		t.Errorf("Device gives %v, %v, and %v for one that is not there", d, ok, no)
	}
	l, ok := net.Load(ref("loft", "lamp"))
	if _, no := net.Load(flood); !ok || no || l.Ends != [2]string{"hot", "neutral"} {
		t.Errorf("Load gives %+v, %v, and %v for one that is not there", l, ok, no)
	}
	line, gone := stair.Terminal("line"), flood.Terminal("line")
	if !net.Has(line) || net.Has(gone) || net.Has(stair.Terminal("common")) {
		t.Error("Has is wrong of a terminal")
	}
	if net.Joined(line, gone) || v.Joined(gone, line) || !net.Joined(line, term("panel", "7", "load")) {
		t.Error("Joined is wrong of a terminal")
	}
	if _, ok := v.Condition(gone); ok {
		t.Error("a terminal that is not there has a condition")
	}
	if _, ok := v.Supply(flood); ok {
		t.Error("a load that is not there has a supply")
	}
	if !v.State().Equal(net.Rest()) {
		t.Errorf("the view is of %v", v.State())
	}
}

// TestStoppedIterators stops every iterator at its first value.
func TestStoppedIterators(t *testing.T) {
	b := wired()
	b.Conductor("tie", service().Rail(switchnet.LineA), service().Rail(switchnet.LineB))
	b.Conductor("bond", service().Rail(switchnet.Neutral), service().Rail(switchnet.Ground))
	net, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	v := solve(t, net.Rest())
	count := 0
	for range net.Devices() {
		count++
		break
	}
	for range net.Splices() {
		count++
		break
	}
	for range v.Conditions() {
		count++
		break
	}
	for range v.Hazards() {
		count++
		break
	}
	for range v.Supplies() {
		count++
		break
	}
	for range v.Shorts() {
		count++
		break
	}
	for range v.NeutralToGround() {
		count++
		break
	}
	if count != 7 {
		t.Errorf("%d of 7 iterators gave a value", count)
	}
}
