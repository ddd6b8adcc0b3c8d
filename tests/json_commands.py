"""Commands for schemas_test.py, played on the book that docs/demo-scenario.sh leaves, each with --json.
Invented like the demo's. Between braces stand the codes and numbers that the book gave out; a line
that begins with `NAME=entry:` or `NAME=id:` keeps what its command printed under that name, and of a
batch its boards as NAME_1 and, typed without hyphens, as NAME_1_digits, and so on. A \\ at the end goes
on in the next line."""
import json
import re

# Every command that reads, with its options: nothing is entered in the book.
READING = r"""
--version
--json
--json --book none.db
tour
workshop
worker
place
product
batch
due
when {first}
when {second} --explain
when {third} --explain --if temp=8C
findings {first}
findings {second} --market eu
findings {first} --market de --as gift --food-business
offer {first} --market us
offer {second} --market de --language de -o offer.txt
offer {first} --market eu -o pictured.txt --picture pictured.jpg
record {first} -o record.pdf --language fr
answer {first} --about contents tree-nut milk animal-material
answer {sold} --about 'white mineral oil' finish glue wood other --ingredient lanolin -o reply.pdf \
  --language es
answer {third} --about tree-nut-walnut --letter
answers
answers --outdated
trace {first}
trace {returned}
trace W1
trace G1
trace F5
trace X1
trace --supplier 'Wold Finishes' --lot M22
trace F1 -o oil.csv
plan
plan --explain --draft 'schedule=hardening-oil finish=F3 glue=G1 pieces=4 count=2 place=house'
plan --if temp=8C --draft 'schedule=oil finish=F1 pieces=2 place=garage'
calendar -o dates.ics
chart -o chart.pdf
recall F2 --practice
recall F2 --practice -o trial
recall status
complaint
complaint {complaint}
complaint {complaint} -o sorry.txt
people
people export 'Ada Winterbourne'
climate --temp 18C --rh 62
species
species european-oak
finishes
finishes pure-tung-oil
glues
glues pva-d3
others
others rubber-feet
allergens
allergens tree-nut-walnut
schedules
schedules oil-then-wax
rules
rules ca
rules eu-gpsr-art9
statement show F1
statement show {paper} -o paper.txt
stall-sheet -o sheet.pdf --event 'Eastwold market'
verify
verify --against {out}/book.jsonl
verify --against {hash}
backup copy.db
export book.jsonl --papers both
export again.jsonl
export --papers alone
export --csv tables
import book.jsonl --book again.db
rescue {out}/backup.db -o rescued.db
rescue hurt.jsonl -o mended.db
verify --book mended.db
trace {second} --book mended.db
rescue nameless.jsonl -o named.db
"""

# Every command that writes, and what the commands that read say of it afterwards.
WRITING = r"""
start --maker 'Fold End Boards' --address '1 Fold End' --contact fold@end.example --market uk \
  --zone Europe/London --units metric --book fold.db
workshop --country GB
workshop hours mon-sun 9:00-17:00
workshop days-off 2099-12-24
workshop market-days 2099-12-12
workshop rack 12
workshop minutes sand=8
workshop
workshop minutes none
workshop minutes glue-up=9 raise-grain=2 coat=4 scuff=3 inspect=2
workshop
worker add 'Ash Fold'
place add Loft --temp 15C --rh 60
place add Loft --temp 15C --rh 60
product add glue --kind pva-d3 --name 'Bench Glue' --supplier 'Wold Finishes' --clamp 1h \
  --full-cure 24h --opened-life 6mo --pot-life 40min --label-temp 20C --label-rh 50 --lowest-temp -2C
product add finish --kind water-polyurethane --name 'Clear Coat' --supplier 'Wold Finishes' --coats 3 \
  --recoat-after 2h --recoat-before 1d --handle-after 1d --pack-after 3d --food-contact-after 30d \
  --coverage 10m2/l --highest-rh 70
product add other --kind rubber-feet --name 'Round feet'
product add finish --kind mineral-oil --name 'House oil'
product change finish P2 --coats 2 --from 2099-01-01
product change finish P2 --coats 2
product
receive wood --species hard-maple --supplier 'Eastwold Timber' --lot ET-400 --moisture 8 --treated no
receive finish --product P2 --supplier 'Wold Finishes' --lot CC1 --amount 2l --best-before 2099-01-01 \
  --at '5d ago'
receive finish --kind mineral-oil --name 'Board Oil No. 1' --supplier 'Wold Finish' --lot M22 \
  --amount 1l --best-before 2099-01-01
statement P2 --about ingredients --ingredient 'acrylic dispersion' --contains milk --declares-none egg
statement show P2
mix --from F7=200ml --name 'Bench oil'
open F6
fourth=id: batch --wood W1 --finish F6 --schedule film --pieces 3 --size 300x200x20mm \
  --use serving-board --place house --promised {yesterday} --for 'Wren Fold' --at '4d ago'
log sand {fourth} --grit 120,180,220 --at '4d ago'
log raise-grain {fourth} --at '4d ago'
log coat {fourth} --from F6=20ml --pieces 1-2 --temp 20C --rh 50 --at '3d ago' --because 'late in the book'
log reading --place House --temp 20C --rh 50
log note {fourth} 'the grain runs out at one end'
when {fourth} --explain
plan --explain
split {fourth} --pieces 3 --schedule oil --finish F7
when {fourth}
scrap {fourth} --pieces 2 --why 'a check opened'
photograph {fourth} {root}/docs/demo-board.jpg
trace {fourth}
readings {out}/house.csv --place Loft
readings {out}/house.csv --place Loft
fifth=id: batch --wood W5 --finish F7 --schedule oil --pieces 4 --size 300x200x20mm \
  --use serving-board --place house
log sand {fifth} --grit 120,180,220
coat=entry: log coat {fifth} --from F7=20ml --temp 19C --rh 50
log inspect {fifth} --sound --what 'no smell'
sign-off {fifth} --because 'for the fair, with a word to the buyer'
card {fifth} -o cards.pdf --market uk --because 'for the fair'
give {fifth_1_digits} --to 'Fay Fold' --contact fay@fold.example --as sale --market uk --because 'agreed'
answer {fifth} --about milk --keep
statement F7 --about allergens --contains peanut
answers --outdated
due
corrected=entry: correct {coat} --set from=F1=20ml --why 'took the other tin'
dealt {corrected} --how 'told by phone'
strike {corrected} --why 'it was the first tin'
big=id: batch --wood W5 --finish F7 --schedule oil --pieces 999 --size 300x200x20mm \
  --use serving-board --place house
card {big} -o many.pdf --card a5 --paper letter --because 'to see how many sheets that makes'
take-back {fifth_1} --place House --unused
complaint {fifth_2_digits} --what 'the oil smells' --severity could-hurt --where 'Eastwold, GB'
withdrawn=entry: withdraw --supplier 'Wold Finishes' --lot M22 --why 'peanut was found in it'
stall-sheet -o sheet3.pdf
offer {first} --market us
recall {withdrawn} -o recall --risk 'an allergic reaction' --do 'stop using it' --remedy refund
recall reached {sold} --how 'by phone'
recall no-answer {other_sold}
recall destroyed {other_sold} --how 'burned'
recall status
recall close {withdrawn} --why 'all are told'
due
forget 'Fay Fold'
forget 'Wilf Garrow' --even-if-recalled --vacuum
species add river-red-gum --common 'River red gum' --botanical 'Eucalyptus camaldulensis' \
  --group hardwood --source 'an invented data sheet'
rule add rules.toml
rules uk-fold-fair
stall-sheet enter --event 'Fold fair' --market uk {fifth_2} {fifth_3}='Jo Fold/jo@fold.example' \
  --because 'told at the stall'
"""

# The file that WRITING adds.
OWN_RULES = """
market = "uk"

[[rule]]
key = "uk-fold-fair"
cite = "Rules of the invented fair, no 4"
asks = "A list of what each board is made of lies on the stall."
when = "sold at that fair"
species = ["hard-maple"]
glue = ["pva-d3"]
food_business = false
check = "ingredients-listed"
ask = "the office of the fair"
reviewed = "2026-11-25"
source = "the leaflet of the fair"
standing = "read in part"
"""


def hurt(export):
    """Two damaged exports: the one lacks entries, people and files, or has them altered; the other
    lacks its end, and so the book's id."""
    lines = export.splitlines()
    entry = {json.loads(line).get("kind"): i for i, line in reversed(list(enumerate(lines)))}
    people = [i for i, line in enumerate(lines) if line.startswith('{"person":')]
    files = [i for i, line in enumerate(lines) if line.startswith('{"file":')]
    lines[entry["tin"]] = lines[entry["tin"]].replace("Shop Bond", "Shop Band")  # its hash can still be read
    lines[entry["inspect"]] = re.sub(r'"hash":"[0-9a-f]{8}', '"hash":"00000000', lines[entry["inspect"]])
    lines[people[0]] = lines[people[0]].replace('"name":"', '"name":"Not ')
    gone = {entry["batch"], people[1], files[0]}
    return "".join(f"{line}\n" for i, line in enumerate(lines) if i not in gone), "".join(
        f"{line}\n" for line in export.splitlines() if not line.startswith('{"trailer":'))
