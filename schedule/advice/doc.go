// Package advice weighs waters and plans descalings: what a water test stands for,
// how the present water of a line does beside others, tables of waters worked out
// row by row, and the acid, baths and rinse that take the scale out of a vessel,
// or why a workshop must.
package advice
