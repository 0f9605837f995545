package packing

import (
	"bytes"
	"compress/gzip"
)

// Bytes returns a file packed as small as gzip gets it, which takes its time: for what
// many ask for. The same bytes give the same bytes.
func Bytes(data []byte) ([]byte, error) {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression) // once for many requests
	if err != nil {
		return nil, err
	}
	if _, err := z.Write(data); err != nil { // writes no time, so the same calendar gives the same bytes
		return nil, err
	}
	err = z.Close()
	return b.Bytes(), err
}
