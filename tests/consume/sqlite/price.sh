#!/bin/sh
# The installed extension in sqlite3, which finds the C library by itself: price.sh EXTENSION TABLES
exec env -u LD_LIBRARY_PATH sqlite3 -batch -bail -cmd ".load $1" :memory: <<SQL
.output /dev/null
SELECT shipping_tables('$2');
SELECT shipping_set('origin', 'US 05401', 'destination', 'US 60614', 'residential', 1, 'date', '2026-08-03', 'currency', 'USD');
.output stdout
SELECT carrier || ' ' || service || ' ' || total FROM shipping_offers('31.3 oz', '14 x 9 x 5 in') WHERE sealed = 1 AND rank = 1;
SQL
