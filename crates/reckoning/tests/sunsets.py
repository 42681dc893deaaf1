"""Sunsets and civil dusks by astral. In: "year month day latitude longitude depression" a line; out: minutes after midnight UT."""

import datetime
import sys

from astral import Observer, sun

for line in sys.stdin:
    if not line.strip():
        continue
    year, month, day, latitude, longitude, depression = (float(word) for word in line.split())
    date = datetime.date(int(year), int(month), int(day))
    place = Observer(latitude, longitude)
    # The evening is asked for by a clock that goes with the sun, so that it is the evening of the day meant.
    clock = datetime.timezone(datetime.timedelta(hours=round(longitude / 15)))
    if depression < 1:
        when = sun.sunset(place, date, tzinfo=clock)
    else:
        when = sun.dusk(place, date, depression=depression, tzinfo=clock)
    midnight = datetime.datetime(date.year, date.month, date.day, tzinfo=datetime.timezone.utc)
    print((when - midnight).total_seconds() / 60)
