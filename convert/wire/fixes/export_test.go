package fixes

// WindowBytes is the least that a window holds.
var WindowBytes = &windowBytes
