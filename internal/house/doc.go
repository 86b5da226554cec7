// Package house holds the plan of the module: which package may import which, where
// third-party modules are used, what stands at the top level, and that no exported
// declaration shows a type of a module that is an inside matter.
//
// [Check] reads a source tree and returns every breach; the test of this package
// runs it over the module. A new arrow is a change of the table in plan.go, made on
// purpose and in DEVELOPERS.md too.
package house
