// Package rules reads rule files: what the code of a region and edition says
// about conductors, boxes and the wiring of switched lights, as data.
package rules
