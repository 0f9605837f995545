// Package figure is about numbers as people have them: reading what they type,
// writing what they read, and saying how sure a number is by the points that
// 10, 50 and 90 % of its distribution lie below.
//
// It knows nothing of water or machines, holds no state, and is the one place
// for each of these, so that a command, a file and a page take the same text
// for the same number.
package figure
