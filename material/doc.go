// Package material says what a mix is made of and how it behaves: its composition by mass, its
// density and its thermal properties. It knows no ingredient and no formula.
package material
