-- Writes the CSV that the bare import reads. @FOLDER@ is replaced.
.mode csv
.output @FOLDER@/entries.csv
SELECT * FROM entry ORDER BY number;
.output @FOLDER@/coats.csv
SELECT number, body ->> 'batch', body ->> '$.drawn[0].tin', body ->> '$.drawn[0].amount_ul', happened_at
  FROM entry WHERE kind = 'coat' ORDER BY number;
