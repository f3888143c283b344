// What only the tests of how logs are read may set.

package fixes

// WindowBytes is the least that a window holds.
var WindowBytes = &windowBytes
