// Package draw makes the pictures of the pages in SVG: places over time, the four
// days of a window, the chain of an order measured back from its need-by, and the
// section of a build-up.
//
// The manner is that of a gauge rod and of a measured drawing: each place is a
// course, work lies on it in blocks that are hatched as materials are on a
// drawing, hold points are gates, time is a notched staff along the top, and what
// drives the finish is one mason's line through it all. Nothing is told by colour
// alone. The drawings carry no style of their own: classes only, so that one style
// sheet serves screen, dark, print, and a policy without inline style.
package draw
