package db

// What the tests of the archive hold against the catalogue.
var (
	ArchivedNames = archivedNames
	LeftOut       = leftOut
)
