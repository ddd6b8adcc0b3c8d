-- ?1: the batch, ?2: the piece. Entries of both; what they name and the tins' products; the entries
-- that made these things and the papers about them.
WITH said AS (
  SELECT entry, kind FROM mention WHERE id IN (?1, ?2) AND struck = 0
), used AS (
  SELECT DISTINCT thing.id, thing.class, thing.entry FROM said
    JOIN entry ON entry.number = said.entry
    JOIN json_tree(CASE said.kind
        WHEN 'batch' THEN json_array(entry.body -> 'wood', entry.body -> 'glue', entry.body -> 'finish')
        ELSE entry.body -> 'drawn' END) AS named ON named.type = 'text'
    JOIN thing ON thing.id = named.atom
    WHERE said.kind IN ('batch', 'coat', 'glue-up', 'fit')
), product AS (
  SELECT DISTINCT thing.id, thing.class, thing.entry FROM used JOIN entry ON entry.number = used.entry
    JOIN thing ON thing.id = entry.body ->> 'product' WHERE used.class IN ('glue', 'finish')
), involved AS (
  SELECT entry FROM said
  UNION SELECT entry FROM used
  UNION SELECT entry FROM product
  UNION SELECT paper.entry FROM (SELECT id FROM used UNION SELECT id FROM product) AS one
    JOIN mention AS paper ON paper.id = one.id AND paper.kind = 'statement' AND paper.struck = 0
  UNION SELECT entry FROM thing WHERE id = 'workshop'
)
SELECT number, kind, happened_at, body FROM involved JOIN entry ON number = involved.entry ORDER BY number;
