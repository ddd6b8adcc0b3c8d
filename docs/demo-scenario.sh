# The invented workshop of docs/demo.sh and of 'trencher tour': reads TRENCHER (the program), out (an
# empty folder), kept (the folder of this file), TRENCHER_BOOK, and pauses, where somebody reads along.
# "Harrow Yard Boards", its suppliers, customers and tins do not exist.

# Says a command as it would be typed, then runs it. A stop (status 1) is a part of the story.
tell() {
  printf '\n$ trencher'
  for word in "$@"; do
    case $word in
      *[!A-Za-z0-9_./=,@+:-]*) printf " '%s'" "$word" ;;
      *) printf ' %s' "$word" ;;
    esac
  done
  printf '\n'
  "$TRENCHER" "$@" || [ $? -eq 1 ]
  [ -z "${pauses-}" ] || pause
}
pause() {
  printf '\n-- Enter goes on, q leaves off: '
  read -r typed || exit 4
  [ "$typed" != q ] || exit 4
}
# Runs a command quietly and keeps the id and the entry's number that it gives.
enter() {
  answer=$("$TRENCHER" "$@" --json) || [ $? -eq 1 ]
  id=$(printf '%s\n' "$answer" | sed -n 's/^  "id": "\(.*\)",\{0,1\}$/\1/p')
  entry=$(printf '%s\n' "$answer" | sed -n 's/^  "entry": \([0-9]*\),\{0,1\}$/\1/p')
}
# Day N days back, at a time of day.
ago() { date -d "$1 days ago" "+%Y-%m-%d $2"; }

# A logger's file: from day $1 back to day $2 back, every three hours, a daily wave of $4 °C about
# $3 °C, humidity about $5 %.
logger_file() {
  awk -v from="$1" -v to="$2" -v mean="$3" -v wave="$4" -v rh="$5" -v now="$(date +%s)" 'BEGIN {
    print "time,temperature (°C),humidity (%)"
    start = int((now - from * 86400) / 10800) * 10800
    for (t = start; t <= now - to * 86400; t += 10800) {
      swing = sin((t % 86400) / 86400 * 6.283185 - 2.1)
      printf "%s,%.1f,%.0f\n", strftime("%Y-%m-%dT%H:%M:%SZ", t, 1), mean + wave * swing, rh - 3 * swing
    }
  }'
}

echo
echo 'An invented workshop, Harrow Yard Boards: seven weeks in its book.'
tell start --maker 'Harrow Yard Boards' --address '3 Harrow Yard, Eastwold' \
  --contact 'hello@harrowyard.example' --country GB --market uk --market eu --zone Europe/London \
  --units metric \
  --at "$(ago 50 09:00)"
enter place add House --temp 19C --rh 50 --at "$(ago 50 09:10)"
enter place add Garage --temp 9C --rh 75 --at "$(ago 50 09:10)"
# Walnut oil is in the shop, so that rags and bench are shared with a tree nut.
enter workshop --cross-contact tree-nut-walnut --at "$(ago 50 09:20)"
# A maker outside the Union names somebody in it.
enter workshop --responsible 'Quayside Agents, 2 Quay Lane, Oldhaven, Ireland, mail@quayside.example' \
  --at "$(ago 50 09:20)"
enter worker add 'Robin Tallis' --at "$(ago 50 09:20)"

# What came in.
tell receive wood --species hard-maple --supplier 'Eastwold Timber' --lot ET-311 --dried kiln \
  --moisture 7.5 --origin US --treated no --by 1 --at "$(ago 49 10:00)"
enter receive wood --species black-walnut --supplier 'Eastwold Timber' --lot ET-312 --dried kiln \
  --moisture 8 --origin US --treated no --by 1 --at "$(ago 49 10:00)"
enter receive wood --species black-cherry --supplier 'Eastwold Timber' --lot ET-318 --dried kiln \
  --moisture 8 --origin US --treated no --by 1 --at "$(ago 49 10:00)"
enter receive wood --species european-oak --supplier 'Fold Sawmill' --lot 77 --dried air \
  --moisture 11 --origin GB --by 1 --at "$(ago 49 10:00)"
enter receive glue --kind pva-d3 --name 'Shop Bond D3' --supplier 'Wold Finishes' --lot B0419 \
  --best-before "$(date -d '+300 days' +%F)" --amount 750ml --clamp 1h --full-cure 24h --label-temp 20C \
  --label-rh 50 --lowest-temp 10C --by 1 --at "$(ago 48 10:00)"
enter receive finish --kind mineral-oil --name 'Board Oil No. 1' --supplier 'Wold Finishes' --lot M22 \
  --best-before "$(date -d '+600 days' +%F)" --amount 1l --coats 3 --recoat-after 12h --handle-after 12h \
  --pack-after 1d --food-contact-after 2d --by 1 --at "$(ago 48 10:00)"
enter receive finish --kind mineral-oil-beeswax --name 'Bench Board Butter' --supplier 'Wold Finishes' \
  --lot BB7 --best-before "$(date -d '+400 days' +%F)" --amount 400g --coats 1 --recoat-after 12h \
  --handle-after 12h --pack-after 1d --food-contact-after 2d --by 1 --at "$(ago 48 10:00)"
enter receive finish --kind pure-tung-oil --name 'Plain Tung' --supplier 'Wold Finishes' --lot T90 \
  --best-before "$(date -d '+500 days' +%F)" --amount 500ml --coats 4 --recoat-after 24h \
  --food-contact-after 30d --label-temp 20C --lowest-temp 10C --coverage 12m2/l --by 1 \
  --at "$(ago 48 10:00)"
enter receive finish --kind walnut-oil --name 'Heat-treated Walnut Oil' --supplier 'Wold Finishes' \
  --lot WN3 --best-before "$(date -d '+200 days' +%F)" --amount 250ml --coats 3 --recoat-after 24h \
  --handle-after 2d --pack-after 7d --food-contact-after 21d --label-temp 20C --lowest-temp 6C \
  --by 1 --at "$(ago 48 10:00)"

enter receive other --kind rubber-feet --name 'Small feet' --supplier 'Fold Fittings' --lot RF2 --by 1 \
  --at "$(ago 48 10:00)"

# What the supplier's papers say.
enter statement G1 --about allergens --declares-none milk --declares-none fish --declares-none animal-derived \
  --declares-none tree-nut --dated "$(date -d '90 days ago' +%F)" --by 1 --at "$(ago 47 20:00)"
enter statement G1 --about food-contact --market uk --dated "$(date -d '90 days ago' +%F)" --by 1 \
  --at "$(ago 47 20:00)"
enter statement F1 --about ingredients --complete --ingredient 'white mineral oil' \
  --dated "$(date -d '120 days ago' +%F)" --by 1 --at "$(ago 47 20:00)"
enter statement F1 --about food-contact --market uk --dated "$(date -d '120 days ago' +%F)" --by 1 \
  --at "$(ago 47 20:00)"
enter statement F2 --about ingredients --complete --contains bee-product --ingredient 'white mineral oil' \
  --ingredient beeswax --dated "$(date -d '120 days ago' +%F)" --by 1 --at "$(ago 47 20:00)"
enter statement F2 --about food-contact --market uk --dated "$(date -d '120 days ago' +%F)" --by 1 \
  --at "$(ago 47 20:00)"
printf 'Invented declaration: Board Oil No. 1 is white mineral oil.\n' > "$out/declaration.txt"
tell statement F1 --about food-contact --market eu --reference '21 CFR 172.878' \
  --dated "$(date -d '60 days ago' +%F)" --valid-until "$(date -d '300 days' +%F)" \
  --file "$out/declaration.txt" --by 1 --at "$(ago 47 20:00)"
enter statement W1 --about origin --reference 'invoice 4471' --by 1 --at "$(ago 47 20:00)"

# Loggers in both places.
logger_file 50 0.2 19 1 50 > "$out/house.csv"
logger_file 50 0.2 11.5 2.5 68 > "$out/garage.csv"
tell readings "$out/house.csv" --place House --by 1
enter readings "$out/garage.csv" --place Garage --by 1

echo
echo 'First batch: maple and walnut, oil then wax, in the house.'
tell batch --wood W1 --wood W2 --glue G1 --finish F1 --finish F2 --schedule oil-then-wax --pieces 6 \
  --size 400x250x22mm --use cutting-board --place house --by 1 --at "$(ago 46 18:00)"
first=$("$TRENCHER" batch --json | sed -n 's/.*"batch": "\(.*\)",/\1/p' | tail -n 1)
enter log glue-up "$first" --from G1=110ml --temp 19C --rh 50 --by 1 --at "$(ago 46 19:00)"
enter log sand "$first" --grit 80,120,180,220 --by 2 --at "$(ago 43 18:00)"
enter log raise-grain "$first" --rounds 2 --by 2 --at "$(ago 42 18:00)"
tell log coat "$first" --from F1=120ml --temp 19C --rh 50 --by 1 --at "$(ago 41 18:00)"
enter log coat "$first" --from F1=60ml --temp 19C --rh 50 --by 1 --at "$(ago 40 18:00)"
enter log coat "$first" --from F1=400ml --temp 19C --rh 50 --by 1 --at "$(ago 39 18:00)"
third=$entry
# The bottle said 40; and one coat was entered twice.
tell correct "$third" --set from=F1=40ml --why 'read the mark on the bottle wrong' --by 1
enter log coat "$first" --from F2=60g --temp 19C --rh 50 --by 1 --at "$(ago 38 18:00)"
enter log coat "$first" --from F2=60g --temp 19C --rh 50 --by 1 --at "$(ago 38 18:05)"
tell strike "$entry" --why 'entered twice' --by 1
enter log fit "$first" --pieces 4-6 --from X1 --by 2 --at "$(ago 35 18:00)"
enter log inspect "$first" --sound --what 'no smell, white cloth stays clean, glue lines sound' --by 1 \
  --at "$(ago 34 18:00)"
tell sign-off "$first" --by 1 --at "$(ago 34 19:00)" --note 'looked over by daylight'
enter give "$first" --pieces 1 --to 'Ada Winterbourne' --as gift --market uk --by 1 --at "$(ago 33 12:00)"
enter give "$first" --pieces 2-3 --to 'The Old Bakehouse' --as sale --market uk --food-business \
  --contact 'orders@bakehouse.example' --by 1 --at "$(ago 30 12:00)"

echo
echo 'Its picture, and what the Union asks; then the rest of it goes to the market.'
tell photograph "$first" "$kept/demo-board.jpg" --by 1 --at "$(ago 32 12:00)"
tell stall-sheet -o "$out/stall-sheet.pdf" --event 'Eastwold market' --on "$(ago 12 10:00 | cut -d ' ' -f 1)"
left=$("$TRENCHER" trace "$first" --json | sed -n 's/.*"id": "\(.*-0[45]-..\)",/\1/p' | sort -u)
set -- $left
tell stall-sheet enter --event 'Eastwold market' --market uk "$1" "$2=Wilf Garrow/wilf@garrow.example" \
  --by 1 --at "$(ago 12 16:00)"
tell rules eu-gpsr-art9
tell findings "$first" --market eu
tell offer "$first" --market eu -o "$out/offer.txt" --picture "$out/offer.jpg"

echo
echo 'Second batch: cherry with tung oil, between coats.'
tell batch --wood W3 --glue G1 --finish F3 --schedule hardening-oil --pieces 4 --size 350x230x20mm \
  --use serving-board --place house --by 1 --at "$(ago 9 18:00)"
second=$("$TRENCHER" batch --json | sed -n 's/.*"batch": "\(.*\)",/\1/p' | tail -n 1)
enter log glue-up "$second" --from G1=70ml --temp 19C --rh 51 --by 1 --at "$(ago 9 19:00)"
enter log sand "$second" --grit 100,150,220 --by 2 --at "$(ago 6 18:00)"
enter log raise-grain "$second" --rounds 1 --by 2 --at "$(ago 5 18:00)"
enter log coat "$second" --temp 19C --rh 50 --by 1 --at "$(ago 4 18:00)"
enter log rags-done "$second" --by 1 --at "$(ago 4 18:30)"
enter log scuff "$second" --grit 320 --by 1 --at "$(ago 1 17:00)"
tell log coat "$second" --temp 19C --rh 50 --by 1 --at "$(ago 1 18:00)"

echo
echo 'Third batch: oak with walnut oil, curing in a cold garage.'
tell batch --wood W4 --glue G1 --finish F4 --schedule hardening-oil --pieces 3 --size 500x180x25mm \
  --use serving-board --place garage --by 1 --at "$(ago 28 17:00)"
third_batch=$("$TRENCHER" batch --json | sed -n 's/.*"batch": "\(.*\)",/\1/p' | tail -n 1)
enter log glue-up "$third_batch" --from G1=60ml --temp 12C --rh 66 --by 1 --at "$(ago 28 18:00)"
enter log sand "$third_batch" --grit 100,150,220 --by 2 --at "$(ago 24 18:00)"
for day in 22 19 15; do
  [ "$day" = 22 ] || enter log scuff "$third_batch" --grit 320 --by 1 --at "$(ago "$day" 18:00)"
  enter log coat "$third_batch" --from F4=25ml --temp 12C --rh 66 --by 1 --at "$(ago "$day" 18:30)"
done
enter log rags-done "$third_batch" --by 1 --at "$(ago 15 19:00)"
tell scrap "$third_batch" --pieces 3 --why 'a check opened at the end' --by 1 --at "$(ago 12 18:00)"

echo
echo 'The gift comes back to be oiled anew, with butter mixed in the workshop.'
returned=$("$TRENCHER" trace "$first" --json | sed -n 's/.*"id": "\(.*-01-..\)",/\1/p' | head -n 1)
tell take-back "$returned" --place House --by 1 --at "$(ago 8 18:00)"
tell mix --from F1=60ml --from F2=15g --name 'Softened board butter' --by 1 --at "$(ago 8 18:30)"
enter log sand "$returned" --grit 220 --by 2 --at "$(ago 7 17:00)"
tell log coat "$returned" --from F5=20ml --temp 19C --rh 50 --by 2 --at "$(ago 7 18:00)"

echo
echo 'This morning: what is due.'
tell due
echo
echo 'When may bread lie on the oak?'
tell when "$third_batch" --explain
echo
echo 'What speaks for and against the cherry?'
tell findings "$second"
echo
echo 'Somebody writes: what is on the board I bought?'
tell answer "$first" --about contents --about tree-nut --about bee-product --about milk
echo 'The reply as a letter, in the four languages; what was answered is kept, of the board alone.'
sold=$("$TRENCHER" trace "$first" --json | sed -n 's/.*"id": "\(.*-02-..\)",/\1/p' | head -n 1)
for language in en de fr es; do
  tell answer "$sold" --about tree-nut --about bee-product --language "$language" \
    -o "$out/reply-$language.pdf" --by 1
done
tell answer "$sold" --about tree-nut --letter --keep --by 1
tell complaint "$sold" --severity flaw --what 'a splinter at the edge' --by 1
tell recall F2 --practice
echo
echo 'Everything before and after the board that came back:'
tell trace "$returned"

echo
echo 'When to begin, so that all is ready for the market?'
tell workshop hours mon-fri 19:00-21:30, sat 9:00-17:00 --by 1
tell workshop rack 16 --by 1
tell workshop market-days "$(date -d '24 days' +%Y-%m-%d)" --name 'Eastwold market' --by 1
tell plan --draft 'schedule=oil finish=F1 glue=G1 pieces=6 count=2 place=house'
tell chart -o "$out/wall-chart.pdf"
tell calendar -o "$out/dates.ics"

tell card "$first" -o "$out/cards-$first.pdf" --by 1
tell card "$second" --market de --language de --card a7 -o "$out/cards-$second.pdf" --by 1
tell card "$third_batch" -o "$out/cards-$third_batch.pdf" --paper letter --by 1
for batch in "$first" "$second" "$third_batch"; do tell record "$batch" -o "$out/record-$batch.pdf"; done
tell export "$out/book.jsonl" --papers "$out/papers"
tell backup "$out/backup.db"
tell verify
echo
echo "The papers, as PDF: $out/cards-$first.pdf (A4), $out/cards-$third_batch.pdf (letter),"
echo "  $out/cards-$second.pdf (in German, on small cards, both sides)"
for batch in "$first" "$second" "$third_batch"; do echo "  $out/record-$batch.pdf"; done
echo "  $out/wall-chart.pdf (for the shop wall)"
for language in en de fr es; do echo "  $out/reply-$language.pdf (a letter)"; done
echo "  $out/stall-sheet.pdf (for the stall)"
echo "The text of an offer by post: $out/offer.txt, its picture $out/offer.jpg"
echo "The suppliers' papers as they came in: $out/papers"
echo "The calendar, for a phone: $out/dates.ics"
echo "The book: $out/book.db"
