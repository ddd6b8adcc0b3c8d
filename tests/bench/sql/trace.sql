-- The rows of `trace F1 --csv` by hand: the batches that F1 is on, their pieces, what became of each.
-- @TIN@ is replaced. The rows before the batches (what F1 came from) are few and left out.
WITH day(entry, number, kind, body, at, said) AS NOT MATERIALIZED (
  SELECT number, number, kind, body, substr(happened_at, 1, 10),
         substr('SunMonTueWedThuFriSat', 1 + 3 * strftime('%w', happened_at), 3) || ' '
         || ltrim(substr(happened_at, 9, 2), '0') || ' '
         || substr('JanFebMarAprMayJunJulAugSepOctNovDec', 3 * substr(happened_at, 6, 2) - 2, 3) || ' '
         || substr(happened_at, 1, 4) || ' ' || substr(happened_at, 12, 5)
    FROM entry
), laid AS (
  SELECT entry.body ->> 'batch' AS batch, group_concat(entry.number, ' ') AS entries,
         group_concat(substr(entry.happened_at, 1, 10), ' ') AS days
    FROM mention JOIN entry ON entry.number = mention.entry
   WHERE mention.id = '@TIN@' AND mention.kind = 'coat' AND mention.struck = 0 GROUP BY 1
)
SELECT "of", direction, depth, parent, id, class, what, entries, happened_on FROM (
SELECT '@TIN@' AS "of", 'after' AS direction, 1 AS depth, '@TIN@' AS parent, laid.batch AS id,
       'batch' AS class, (made.body ->> 'pieces') || ' pieces, ' || (made.body ->> 'use') AS what,
       laid.entries, laid.days AS happened_on, laid.batch AS in_batch, 0 AS in_piece, 0 AS in_order
  FROM laid JOIN thing ON thing.id = laid.batch JOIN entry AS made ON made.number = thing.entry
UNION ALL
SELECT '@TIN@', 'after', 2, laid.batch, piece.code, 'piece',
       CASE WHEN piece.scrapped THEN 'scrapped' WHEN piece.given THEN 'has left' ELSE 'here' END, '', '',
       laid.batch, piece.number, 0
  FROM laid JOIN piece ON piece.batch = laid.batch
UNION ALL
SELECT '@TIN@', 'after', 3, piece.code, 'entry ' || day.number,
       CASE day.kind WHEN 'give' THEN day.body ->> 'as' ELSE day.kind END,
       CASE day.kind
         WHEN 'give' THEN (day.body ->> 'as') || ' to ' || coalesce(person.name, 'a stranger')
              || coalesce(' at ' || (day.body ->> 'event'), '')
              || ', market ' || (day.body ->> 'market')
         WHEN 'sign-off' THEN 'signed off' WHEN 'card' THEN 'care card printed'
         WHEN 'scrap' THEN 'scrapped: ' || (day.body ->> 'why')
         WHEN 'take-back' THEN 'came back' ELSE day.kind END || ', ' || day.said,
       day.number, day.at, laid.batch, piece.number, day.number
  FROM laid JOIN piece ON piece.batch = laid.batch
  JOIN mention ON mention.id = piece.code AND mention.struck = 0
   AND mention.kind IN ('sign-off', 'card', 'give', 'take-back', 'scrap')
  JOIN day ON day.entry = mention.entry
  LEFT JOIN person ON person.id = day.body ->> 'person'
) ORDER BY in_batch, in_piece, in_order;
