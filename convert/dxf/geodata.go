package dxf

type geoData struct{}

func (r *reader) geoData(line int) geoData { return geoData{} }
