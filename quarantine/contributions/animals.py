"""Animals from the order to the sale: species, suppliers, consignments, boxes, lots."""

from quarantine.queries import lot_labels
from tanks.sockets.labels import LabelSource, label_sources

label_sources.plug(LabelSource(name="quarantine.lots", found=lot_labels.lot_labelled))
