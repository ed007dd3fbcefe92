from .batch_check import check_making_plan as check_making_plan
from .colouring_check import check_colouring as check_colouring
from .cut_list_check import check_cut_list as check_cut_list
from .cutting_check import check_cutting_plan as check_cutting_plan
from .finishing_check import check_finishing_plan as check_finishing_plan
from .pressing_check import check_pressing as check_pressing
from .quilting_check import check_quilting_plan as check_quilting_plan
from .sewing_check import check_sewing_plan as check_sewing_plan
