package signin

import (
	"fmt"
	"strings"

	"github.com/skip2/go-qrcode"
)

// Code is an address as a QR code, true where it is dark, with the quiet edge that
// readers need.
func Code(address string) ([][]bool, error) {
	code, err := qrcode.New(address, qrcode.Medium)
	if err != nil {
		return nil, fmt.Errorf("draw the link: %w", err)
	}
	return code.Bitmap(), nil
}

// QR is an address as a QR code in SVG, dark on light whatever the page's colours
// are, with the quiet edge that readers need.
func QR(address string) (string, error) {
	rows, err := Code(address)
	if err != nil {
		return "", err
	}
	var path strings.Builder
	for y, row := range rows {
		for x := 0; x < len(row); x++ {
			if !row[x] {
				continue
			}
			from := x
			for x < len(row) && row[x] {
				x++
			}
			fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", from, y, x-from, x-from)
		}
	}
	n := len(rows)
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" role="img" shape-rendering="crispEdges">`+
		`<title>The link as a code to photograph</title><rect width="%d" height="%d" fill="#fff"/><path fill="#000" d="%s"/></svg>`,
		n, n, 5*n, 5*n, n, n, path.String()), nil
}
