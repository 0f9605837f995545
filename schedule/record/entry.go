package record

import (
	"encoding/json"
	"fmt"
	"time"
)

// Entry is one record as it was kept.
type Entry struct {
	ID        int64     // given by the store, counting up
	Place     string    // id of the place it belongs to
	Effective Date      // the day from which it holds
	Entered   time.Time // when it was written down
	Source    string    // the door it came in by: "command", "page", "demo", "task app: phone"
	Voided    int64     // id of the record that voids it, 0 for none
	Body      Body
}

// Kind names what a record is about.
type Kind string

// Kinds of record.
const (
	KindPlace        Kind = "place"
	KindEquipment    Kind = "equipment"
	KindRetired      Kind = "retired"
	KindWaterTest    Kind = "water test"
	KindUse          Kind = "use"
	KindService      Kind = "service"
	KindVoid         Kind = "void"
	KindPublication  Kind = "publication"
	KindMeasurement  Kind = "measurement"
	KindOwnCare      Kind = "own care"
	KindAway         Kind = "away"
	KindGuests       Kind = "guests"
	KindMeterReading Kind = "meter reading"
	KindBag          Kind = "bag"
	KindPin          Kind = "pin"
	KindBlocked      Kind = "blocked"
	KindStock        Kind = "stock"
	KindHotHours     Kind = "hot hours"
	KindAppTask      Kind = "app task"

	KindBookedVisit   Kind = "booked visit"
	KindServiceReport Kind = "service report"
)

// Body is what a record says.
type Body interface {
	Validate() error
	kind() Kind
}

// Kind tells what the record is about.
func (e Entry) Kind() Kind { return e.Body.kind() }

// Encode writes a body for keeping. Bodies are plain data: it cannot fail on
// one that passed Validate.
func Encode(b Body) (Kind, []byte, error) {
	data, err := json.Marshal(b)
	return b.kind(), data, err
}

// Decode reads what Encode wrote. A kind from a later version of the program is
// an error that matches ErrUnknown.
func Decode(kind Kind, data []byte) (Body, error) {
	switch kind {
	case KindPlace:
		return decode[Place](data)
	case KindEquipment:
		return decode[Equipment](data)
	case KindRetired:
		return decode[Retired](data)
	case KindWaterTest:
		return decode[WaterTest](data)
	case KindUse:
		return decode[UseBatch](data)
	case KindService:
		return decode[Service](data)
	case KindVoid:
		return decode[Void](data)
	case KindPublication:
		return decode[Publication](data)
	case KindMeasurement:
		return decode[Measurement](data)
	case KindOwnCare:
		return decode[OwnCare](data)
	case KindAway:
		return decode[Away](data)
	case KindGuests:
		return decode[Guests](data)
	case KindMeterReading:
		return decode[MeterReading](data)
	case KindBag:
		return decode[Bag](data)
	case KindPin:
		return decode[Pin](data)
	case KindBlocked:
		return decode[Blocked](data)
	case KindHotHours:
		return decode[HotHours](data)
	case KindStock:
		return decode[Stock](data)
	case KindAppTask:
		return decode[AppTask](data)
	case KindBookedVisit:
		return decode[BookedVisit](data)
	case KindServiceReport:
		return decode[ServiceReport](data)
	}
	return nil, &UnknownError{What: "kind of record", Name: string(kind)}
}

func decode[B Body](data []byte) (Body, error) {
	var body B
	if err := json.Unmarshal(data, &body); err != nil {
		return nil, fmt.Errorf("a kept %s record cannot be read: %w", body.kind(), err)
	}
	return body, nil
}
