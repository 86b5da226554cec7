package wiring_test

import (
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/switchnet"
	"example.com/switchleg/switchnet/wiring"
)

// What a device is marked for makes sense, or is a problem at its place.
func TestDeviceMarkings(t *testing.T) {
	for _, row := range []struct {
		device wiring.Device
		says   string
	}{
		{wiring.Device{Rating: 15 * quantity.Ampere, LeastLoad: 10 * quantity.Watt, MostLoad: 10 * quantity.Watt}, ""},
		{wiring.Device{LeastLoad: 10 * quantity.Watt}, ""},
		{wiring.Device{Rating: -1}, "devices[0].rating"},
		{wiring.Device{LeastLoad: -1}, "below zero"},
		{wiring.Device{LeastLoad: 11 * quantity.Watt, MostLoad: 10 * quantity.Watt}, "needs 11 W at least and takes 10 W at most"},
	} {
		d := row.device
		d.Name, d.Box, d.Kind = "dimmer", "loft", switchnet.SinglePole()
		_, err := wiring.New(wiring.Spec{Supply: switchnet.SplitPhase(), Boxes: []wiring.Box{{Name: "loft", Kind: wiring.DeviceBox}}, Devices: []wiring.Device{d}})
		if row.says == "" && err != nil || row.says != "" && (err == nil || !strings.Contains(err.Error(), row.says)) {
			t.Errorf("%+v: %v; want %q", row.device, err, row.says)
		}
	}
}
