from lawnmap import batch as batch
from lawnmap import choices as choices
from lawnmap import contact as contact
from lawnmap import drawing as drawing
from lawnmap import errors as errors
from lawnmap import evenness as evenness
from lawnmap import job as job
from lawnmap import lanes as lanes
from lawnmap import measure as measure
from lawnmap import quote as quote
from lawnmap import rates as rates
from lawnmap import record as record
from lawnmap import schedule as schedule
from lawnmap import sheets as sheets
from lawnmap import survey as survey
from lawnmap import units as units
from lawnmap import yard as yard
from lawnmap.job.plan import plan as plan
from lawnmap.measure import take_off as take_off
from lawnmap.sheets import write as write
from lawnmap.survey import read as read

__version__: str
