package wear

import (
	"context"
	"errors"
	"testing"
)

// A forecast says why it was given up, and gives nothing half done.
func TestForecastStops(t *testing.T) {
	enough := errors.New("enough")
	ctx, stop := context.WithCancelCause(t.Context())
	stop(enough)
	outcomes, err := Forecast(ctx, newKitchen(t).household())
	if !errors.Is(err, enough) || outcomes != nil {
		t.Errorf("%d outcomes and %v of a forecast that was given up", len(outcomes), err)
	}
}
