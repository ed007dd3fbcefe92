# The public names, grouped by stage of the job, each with the room that it lives in. Nothing is loaded before its first
# use; `kit.reference` prints the groups, and its test holds every name in exactly one of them.

# rooms that are public as a whole
from . import checks as checks
from . import lessons as lessons
from . import sums as sums

# the audit of a written pattern
from .auditing.audit_form import audit as audit
from .auditing.audit_lines import Audit as Audit
from .auditing.corrected_table import write_corrections as write_corrections
from .auditing.form_writing import write_form as write_form

# the cloth on hand
from .colourways import make_colourways as make_colourways

# a study and its designs
from .designs import FAMILIES as FAMILIES
from .designs.spacers import list_unit_lengths as list_unit_lengths
from .designs.spacers import solve_spacer as solve_spacer
from .designs.svg_outlines import DrawnOutline as DrawnOutline
from .designs.svg_outlines import read_outlines as read_outlines

# errors and lengths
from .errors import CheckError as CheckError
from .errors import KitError as KitError
from .errors import LengthError as LengthError
from .errors import NoPlanError as NoPlanError
from .errors import PatchworkError as PatchworkError
from .errors import StudyError as StudyError

# screens
from .explore.beginning.front_door import begin as begin
from .explore.composing.table import compose as compose
from .explore.cutting_screen import explore_cutting as explore_cutting
from .explore.drawing_board import draw as draw
from .explore.explorer import explore as explore
from .explore.finishing_screen import explore_finishing as explore_finishing
from .explore.fit_screen import choose_size as choose_size
from .explore.gallery import list_keys as list_keys
from .explore.gallery import make_example as make_example
from .explore.gallery import show_family as show_family
from .explore.gallery import show_studies as show_studies
from .explore.notebook import list_facts as list_facts
from .explore.notebook import show_picture as show_picture
from .explore.notebook import start_notebook as start_notebook
from .explore.papers_screen import explore_papers as explore_papers
from .explore.progress_bar import ProgressBar as ProgressBar
from .explore.quick_sums import quick as quick
from .explore.quilting_screen import explore_quilting as explore_quilting
from .explore.route_slider import follow_route as follow_route
from .explore.sweep_run import run_sweep as run_sweep
from .explore.sweep_screen import show_sweep as show_sweep
from .explore.unit_view import show_unit as show_unit
from .explore.walkthrough import show_step as show_step
from .explore.walkthrough import walk_through as walk_through

# a quilt brought to a wanted size
from .fitting import aim as aim
from .fitting import fit as fit
from .fitting import friendly_sizes as friendly_sizes
from .fitting import mix_parts as mix_parts
from .fitting import read_beds as read_beds
from .geometry.outlines import measure_area as measure_area
from .lengths import Length as Length
from .lengths import read_length as read_length
from .lengths import write_length as write_length
from .lessons.teaching.teacher_screen import teach as teach

# what the kit hands out
from .model.buying import ClothPack as ClothPack
from .model.cutting import CutList as CutList
from .model.cutting import CuttingPlan as CuttingPlan
from .model.cutting import Piece as Piece
from .model.fabrics import Colouring as Colouring
from .model.fabrics import Fabric as Fabric
from .model.fabrics import Supply as Supply
from .model.finishing import FinishingPlan as FinishingPlan
from .model.finishing import FinishingWishes as FinishingWishes
from .model.fits import Fit as Fit
from .model.fits import Target as Target
from .model.foundations import FoundationPlan as FoundationPlan
from .model.hand import HandRehearsal as HandRehearsal
from .model.making import MakingPlan as MakingPlan
from .model.notices import Notice as Notice
from .model.patchwork import Patch as Patch
from .model.patchwork import Patchwork as Patchwork
from .model.patchwork import patchwork_from_outlines as patchwork_from_outlines
from .model.pattern import Pattern as Pattern
from .model.pattern import Sketch as Sketch
from .model.pictures import read_cloth as read_cloth
from .model.quilting import QuiltingPlan as QuiltingPlan
from .model.quilting_wishes import QuiltingWishes as QuiltingWishes
from .model.quilting_wishes import Stitching as Stitching
from .model.rules import Recolouring as Recolouring
from .model.rules import Rules as Rules
from .model.sewing import Rehearsal as Rehearsal
from .model.sewing import SewingPlan as SewingPlan
from .model.sewing import Step as Step
from .model.stash import Stash as Stash
from .model.stash import StashCloth as StashCloth
from .model.widths import WidthTable as WidthTable

# tables, pictures, words, paper
from .output import pictures as pictures
from .output import tables as tables
from .output.document.document import set_document as set_document
from .output.document.page_pictures import draw_page as draw_page
from .output.files.twin import read_twin as read_twin
from .output.files.twin import write_twin as write_twin
from .output.pictures.bokeh_figure import preview as preview
from .output.proof.proof import ProofLine as ProofLine
from .output.proof.proof import prove as prove
from .output.tables import compare as compare
from .output.words.assembly_words import say_trade_off as say_trade_off
from .output.words.finishing_words import list_finishing_steps as list_finishing_steps
from .output.words.notice_words import say_notices as say_notices
from .paper_pages import write_foundations as write_foundations

# plans
from .pipeline import make_pattern as make_pattern
from .pipeline import make_sketch as make_sketch
from .planning.colouring.colour_plan import colour_plan as colour_plan
from .planning.colouring.recolour import fix_by_swaps as fix_by_swaps
from .planning.colouring.recolour import recolour as recolour
from .planning.cutting.cutting_plan import cutting_plan as cutting_plan
from .planning.finishing.care import enlarge_for_loss as enlarge_for_loss
from .planning.finishing.finishing_plan import finishing_plan as finishing_plan
from .planning.finishing.top_facts import gather_top as gather_top
from .planning.foundations.foundation_plan import foundation_plan as foundation_plan
from .planning.foundations.foundation_plan import list_foundation_cuts as list_foundation_cuts
from .planning.pieces.cut_list import cut_list as cut_list
from .planning.quilting.quilting_plan import quilting_plan as quilting_plan
from .planning.sewing.sewing_plan import sewing_plan as sewing_plan
from .publish import redraft as redraft
from .publish import write_document as write_document
from .publish import write_publication as write_publication
from .rehearsal.batch_rehearsal import rehearse_batch as rehearse_batch
from .rehearsal.by_hand import find_allowance as find_allowance
from .rehearsal.by_hand import rehearse_by_hand as rehearse_by_hand
from .rehearsal.flat_cloth import CannotMakeError as CannotMakeError
from .rehearsal.rehearse import rehearse as rehearse

# handing a study on
from .sharing import compare_result as compare_result
from .sharing import open_result as open_result
from .sharing import pack_study as pack_study
from .sharing import store_result as store_result
from .sharing import unpack_study as unpack_study
from .stash import compare_buying as compare_buying
from .stash import fill_from_stash as fill_from_stash
from .stash import match_stash as match_stash
from .stash import offer_stash as offer_stash
from .stash import put_back as put_back

# the study file
from .study import Study as Study
from .study import add_edition as add_edition
from .study import editions as editions
from .study import open_stash as open_stash
from .study import open_study as open_study
from .study import read_stash as read_stash
from .study import read_study as read_study
from .study import save_stash as save_stash
from .study import save_study as save_study
from .study import study_from_keys as study_from_keys
from .study import study_keys as study_keys
from .study import write_stash as write_stash
from .study import write_study as write_study
from .study.cutting_keys import describe_cutting_keys as describe_cutting_keys
from .study.finishing_keys import describe_finishing_keys as describe_finishing_keys
from .study.pack_keys import describe_pack_keys as describe_pack_keys
from .study.quilt_folder import find_quilt as find_quilt
from .study.quilting_keys import describe_quilting_keys as describe_quilting_keys
from .study.tables import describe_fabric_keys as describe_fabric_keys
from .sweeping import Sweep as Sweep
from .sweeping import sweep as sweep
from .testers.errata import find_errata as find_errata
from .testers.merged_forms import read_findings as read_findings
from .testers.pack import write_tester_pack as write_tester_pack
from .testers.print_records import open_record as open_record
from .testers.unfound import estimate_unfound as estimate_unfound
from .usable_widths import compare_widths as compare_widths
from .version import __version__ as __version__
