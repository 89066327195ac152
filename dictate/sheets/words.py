"""The caution that stands wherever treatment or what is due is shown."""

from dictate.texts import noted

CAUTION = noted(
    "This sheet records what was said at the chute. It is no veterinary advice. Treatment, medicines "
    "and withdrawal times: the herd's vet, the product label and local law decide."
)
