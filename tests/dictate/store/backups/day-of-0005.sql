BEGIN TRANSACTION;
CREATE TABLE action (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	kind VARCHAR NOT NULL, 
	foot VARCHAR, 
	claw VARCHAR, 
	material VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0005');
CREATE TABLE alias (
	id INTEGER NOT NULL, 
	trimmer_id INTEGER NOT NULL, 
	heard VARCHAR NOT NULL, 
	term VARCHAR NOT NULL, 
	taught_at DATETIME NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(trimmer_id) REFERENCES trimmer (id), 
	UNIQUE (trimmer_id, heard)
);
CREATE TABLE animal (
	id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	number VARCHAR NOT NULL, 
	eid VARCHAR, 
	ear_tag VARCHAR, 
	name VARCHAR, 
	lactation INTEGER, 
	calved_on DATE, 
	dried_off_on DATE, 
	status VARCHAR NOT NULL, 
	on_roster BOOLEAN NOT NULL, 
	merged_into_id INTEGER, 
	PRIMARY KEY (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(merged_into_id) REFERENCES animal (id)
);
INSERT INTO "animal" VALUES(1,1,'412',NULL,NULL,NULL,NULL,NULL,NULL,'present',0,NULL);
INSERT INTO "animal" VALUES(2,1,'9',NULL,NULL,NULL,NULL,NULL,NULL,'present',0,NULL);
INSERT INTO "animal" VALUES(3,1,'12',NULL,NULL,NULL,NULL,NULL,NULL,'present',0,NULL);
INSERT INTO "animal" VALUES(4,1,'8',NULL,NULL,NULL,NULL,NULL,NULL,'present',0,NULL);
CREATE TABLE clip (
	id INTEGER NOT NULL, 
	sha256 VARCHAR(64) NOT NULL, 
	visit_id INTEGER NOT NULL, 
	file_name VARCHAR NOT NULL, 
	suffix VARCHAR NOT NULL, 
	seconds FLOAT NOT NULL, 
	source_rate INTEGER NOT NULL, 
	channels INTEGER NOT NULL, 
	recorded_at DATETIME, 
	recorded_from VARCHAR NOT NULL, 
	taken_in_at DATETIME NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id), 
	UNIQUE (sha256)
);
INSERT INTO "clip" VALUES(1,'69722e617e677094f88c6071a4f5fe0ebaa496f1e3493d9d8a4e47b2a840a1a1',1,'20260302_081204.opus','.opus',7.161375,48000,1,'2026-03-02 08:12:04.000000','file name','2026-11-27 20:19:44.864910');
INSERT INTO "clip" VALUES(2,'41c994523b4200ed575597ab55912151543f274da765972c693d00f0e2027642',1,'20260302_081431.opus','.opus',2.4949375,48000,1,'2026-03-02 08:14:31.000000','file name','2026-11-27 20:19:45.036090');
INSERT INTO "clip" VALUES(3,'71b028b754da24c4662c9e7278651530a5bfed3d9faba9f9c664214f6af797b2',1,'20260302_082117.opus','.opus',4.9503125,48000,1,'2026-03-02 08:21:17.000000','file name','2026-11-27 20:19:45.143823');
INSERT INTO "clip" VALUES(4,'bb67e359ad03906a408eaccc9a6f5133c9934e90a9f58b111e208c80dab9fcf1',1,'20260302_082940.opus','.opus',6.91475,48000,1,'2026-03-02 08:29:40.000000','file name','2026-11-27 20:19:45.259521');
CREATE TABLE entry (
	id INTEGER NOT NULL, 
	note_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	state VARCHAR NOT NULL, 
	version INTEGER NOT NULL, 
	touched BOOLEAN NOT NULL, 
	content JSON NOT NULL, 
	animal_id INTEGER, 
	confirmed_how VARCHAR, 
	confirmed_by VARCHAR, 
	confirmed_at DATETIME, 
	reason VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(note_id) REFERENCES note (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id), 
	UNIQUE (note_id, position)
);
INSERT INTO "entry" VALUES(1,1,1,0,'confirmed',2,1,'{"at": {"animal": [0, 3]}, "by_hand": [], "animal": "412", "carried": "", "animal_candidates": ["412"], "findings": [{"at": {"foot": [3, 5], "claw": [5, 6], "zone": [8, 10], "lesion": [6, 8]}, "by_hand": [], "foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}',1,'one','Robin Field','2026-11-27 20:19:49.207831',NULL);
INSERT INTO "entry" VALUES(2,2,1,0,'confirmed',2,1,'{"at": {}, "by_hand": [], "animal": "412", "carried": "unsaid", "animal_candidates": ["412"], "findings": [{"at": {"foot": [0, 2], "lesion": [2, 3]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}',1,'one','Robin Field','2026-11-27 20:19:49.061501',NULL);
INSERT INTO "entry" VALUES(3,2,1,1,'confirmed',2,1,'{"at": {"animal": [5, 6]}, "by_hand": [], "animal": "9", "carried": "", "animal_candidates": ["9"], "findings": [{"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}',2,'one','Robin Field','2026-11-27 20:19:49.285381',NULL);
INSERT INTO "entry" VALUES(4,3,1,0,'confirmed',2,1,'{"at": {"animal": [0, 2]}, "by_hand": [], "animal": "12", "carried": "", "animal_candidates": ["12"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 7]}, "by_hand": [], "foot": "LF", "claw": null, "zone": null, "lesion": "white line disease", "stage": null, "severity": null, "heard": "white line disease", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}',3,'one','Robin Field','2026-11-27 20:19:49.355805',NULL);
INSERT INTO "entry" VALUES(5,4,1,0,'confirmed',2,1,'{"at": {"animal": [0, 2]}, "by_hand": [], "animal": "8", "carried": "", "animal_candidates": ["8"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 6]}, "by_hand": [], "foot": "LH", "claw": null, "zone": null, "lesion": "digital dermatitis", "stage": null, "severity": null, "heard": "digital dermatitis", "object": null, "course": null, "tissue": [], "region": null}, {"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}',4,'one','Robin Field','2026-11-27 20:19:49.426208',NULL);
CREATE TABLE event (
	id INTEGER NOT NULL, 
	at DATETIME NOT NULL, 
	who VARCHAR NOT NULL, 
	kind VARCHAR NOT NULL, 
	subject VARCHAR NOT NULL, 
	subject_id INTEGER NOT NULL, 
	act VARCHAR NOT NULL, 
	"before" JSON, 
	"after" JSON, 
	undoes_id INTEGER, 
	PRIMARY KEY (id), 
	UNIQUE (undoes_id)
);
INSERT INTO "event" VALUES(1,'2026-11-27 20:19:48.752788','dictate','queued','entry',1,'5b2740c98ad14963812648acea727c7f',NULL,'{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 3]}, "by_hand": [], "animal": "412", "carried": "", "animal_candidates": ["412"], "findings": [{"at": {"foot": [3, 5], "claw": [5, 6], "zone": [8, 10], "lesion": [6, 8]}, "by_hand": [], "foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(2,'2026-11-27 20:19:48.841236','dictate','queued','entry',2,'5b2740c98ad14963812648acea727c7f',NULL,'{"visit_id": 1, "state": "waiting", "content": {"at": {}, "by_hand": [], "animal": "412", "carried": "unsaid", "animal_candidates": ["412"], "findings": [{"at": {"foot": [0, 2], "lesion": [2, 3]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(3,'2026-11-27 20:19:48.841760','dictate','queued','entry',3,'5b2740c98ad14963812648acea727c7f',NULL,'{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [5, 6]}, "by_hand": [], "animal": "9", "carried": "", "animal_candidates": ["9"], "findings": [{"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(4,'2026-11-27 20:19:48.948454','dictate','queued','entry',4,'5b2740c98ad14963812648acea727c7f',NULL,'{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "12", "carried": "", "animal_candidates": ["12"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 7]}, "by_hand": [], "foot": "LF", "claw": null, "zone": null, "lesion": "white line disease", "stage": null, "severity": null, "heard": "white line disease", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(5,'2026-11-27 20:19:49.019749','dictate','queued','entry',5,'5b2740c98ad14963812648acea727c7f',NULL,'{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "8", "carried": "", "animal_candidates": ["8"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 6]}, "by_hand": [], "foot": "LH", "claw": null, "zone": null, "lesion": "digital dermatitis", "stage": null, "severity": null, "heard": "digital dermatitis", "object": null, "course": null, "tissue": [], "region": null}, {"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}',NULL);
INSERT INTO "event" VALUES(6,'2026-11-27 20:19:49.156289','Robin Field','confirmed','entry',2,'9f4965baa3064436ae5a6d395a476f81','{"visit_id": 1, "state": "waiting", "content": {"at": {}, "by_hand": [], "animal": "412", "carried": "unsaid", "animal_candidates": ["412"], "findings": [{"at": {"foot": [0, 2], "lesion": [2, 3]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}','{"visit_id": 1, "state": "confirmed", "content": {"at": {}, "by_hand": [], "animal": "412", "carried": "unsaid", "animal_candidates": ["412"], "findings": [{"at": {"foot": [0, 2], "lesion": [2, 3]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, "confirmed_how": "one", "confirmed_by": "Robin Field", "confirmed_at": "2026-11-27T20:19:49.061501+00:00", "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(7,'2026-11-27 20:19:49.237331','Robin Field','confirmed','entry',1,'40151c9ad4c84b2a80d0d4ca8523fb59','{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 3]}, "by_hand": [], "animal": "412", "carried": "", "animal_candidates": ["412"], "findings": [{"at": {"foot": [3, 5], "claw": [5, 6], "zone": [8, 10], "lesion": [6, 8]}, "by_hand": [], "foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}','{"visit_id": 1, "state": "confirmed", "content": {"at": {"animal": [0, 3]}, "by_hand": [], "animal": "412", "carried": "", "animal_candidates": ["412"], "findings": [{"at": {"foot": [3, 5], "claw": [5, 6], "zone": [8, 10], "lesion": [6, 8]}, "by_hand": [], "foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": "one", "confirmed_by": "Robin Field", "confirmed_at": "2026-11-27T20:19:49.207831+00:00", "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(8,'2026-11-27 20:19:49.308780','Robin Field','confirmed','entry',3,'54d2c1d606a94059bd3fe6dc64a9bca8','{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [5, 6]}, "by_hand": [], "animal": "9", "carried": "", "animal_candidates": ["9"], "findings": [{"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}','{"visit_id": 1, "state": "confirmed", "content": {"at": {"animal": [5, 6]}, "by_hand": [], "animal": "9", "carried": "", "animal_candidates": ["9"], "findings": [{"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": "one", "confirmed_by": "Robin Field", "confirmed_at": "2026-11-27T20:19:49.285381+00:00", "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(9,'2026-11-27 20:19:49.383888','Robin Field','confirmed','entry',4,'17431ec8716c4990960b75d36d7fad24','{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "12", "carried": "", "animal_candidates": ["12"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 7]}, "by_hand": [], "foot": "LF", "claw": null, "zone": null, "lesion": "white line disease", "stage": null, "severity": null, "heard": "white line disease", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}','{"visit_id": 1, "state": "confirmed", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "12", "carried": "", "animal_candidates": ["12"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 7]}, "by_hand": [], "foot": "LF", "claw": null, "zone": null, "lesion": "white line disease", "stage": null, "severity": null, "heard": "white line disease", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": "one", "confirmed_by": "Robin Field", "confirmed_at": "2026-11-27T20:19:49.355805+00:00", "reason": null, "touched": true}',NULL);
INSERT INTO "event" VALUES(10,'2026-11-27 20:19:49.451939','Robin Field','confirmed','entry',5,'0642ec120e2b4df4ab31988cf9dd4ccc','{"visit_id": 1, "state": "waiting", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "8", "carried": "", "animal_candidates": ["8"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 6]}, "by_hand": [], "foot": "LH", "claw": null, "zone": null, "lesion": "digital dermatitis", "stage": null, "severity": null, "heard": "digital dermatitis", "object": null, "course": null, "tissue": [], "region": null}, {"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": null, "confirmed_by": null, "confirmed_at": null, "reason": null, "touched": false}','{"visit_id": 1, "state": "confirmed", "content": {"at": {"animal": [0, 2]}, "by_hand": [], "animal": "8", "carried": "", "animal_candidates": ["8"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 6]}, "by_hand": [], "foot": "LH", "claw": null, "zone": null, "lesion": "digital dermatitis", "stage": null, "severity": null, "heard": "digital dermatitis", "object": null, "course": null, "tissue": [], "region": null}, {"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}, "confirmed_how": "one", "confirmed_by": "Robin Field", "confirmed_at": "2026-11-27T20:19:49.426208+00:00", "reason": null, "touched": true}',NULL);
CREATE TABLE farm (
	id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	UNIQUE (name)
);
INSERT INTO "farm" VALUES(1,'Alder Farm');
CREATE TABLE finding (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	foot VARCHAR, 
	claw VARCHAR, 
	zone INTEGER, 
	lesion VARCHAR NOT NULL, 
	stage VARCHAR, 
	severity VARCHAR, 
	heard VARCHAR NOT NULL, 
	object VARCHAR, 
	course VARCHAR, 
	tissue JSON NOT NULL, 
	region VARCHAR, 
	lactation INTEGER, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
INSERT INTO "finding" VALUES(2,1,1,1,'2026-03-02',0,1,'RH',NULL,NULL,'no lesion',NULL,NULL,'clean',NULL,NULL,'[]',NULL,NULL);
INSERT INTO "finding" VALUES(1,1,1,1,'2026-03-02',0,2,'LH','outer',4,'sole ulcer',NULL,NULL,'sole ulcer',NULL,NULL,'[]',NULL,NULL);
INSERT INTO "finding" VALUES(3,2,1,1,'2026-03-02',0,3,'RF',NULL,NULL,'no lesion',NULL,NULL,'clean',NULL,NULL,'[]',NULL,NULL);
INSERT INTO "finding" VALUES(4,3,1,1,'2026-03-02',0,4,'LF',NULL,NULL,'white line disease',NULL,NULL,'white line disease',NULL,NULL,'[]',NULL,NULL);
INSERT INTO "finding" VALUES(5,4,1,1,'2026-03-02',0,5,'LH',NULL,NULL,'digital dermatitis',NULL,NULL,'digital dermatitis',NULL,NULL,'[]',NULL,NULL);
INSERT INTO "finding" VALUES(5,4,1,1,'2026-03-02',1,6,'RH',NULL,NULL,'no lesion',NULL,NULL,'clean',NULL,NULL,'[]',NULL,NULL);
CREATE TABLE follow_up (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	kind VARCHAR NOT NULL, 
	due_on DATE, 
	in_days INTEGER, 
	said_when VARCHAR NOT NULL, 
	snoozed_to DATE, 
	done_on DATE, 
	done_entry_id INTEGER, 
	done_by VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(done_entry_id) REFERENCES entry (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE herd_case (
	id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	foot VARCHAR, 
	claw VARCHAR, 
	first_on DATE NOT NULL, 
	last_on DATE NOT NULL, 
	visits INTEGER NOT NULL, 
	course VARCHAR NOT NULL, 
	closed_on DATE, 
	after_closed BOOLEAN NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id)
);
INSERT INTO "herd_case" VALUES(1,1,1,'sole ulcer','LH','outer','2026-03-02','2026-03-02',1,'new',NULL,0);
INSERT INTO "herd_case" VALUES(2,3,1,'white line','LF',NULL,'2026-03-02','2026-03-02',1,'new',NULL,0);
INSERT INTO "herd_case" VALUES(3,4,1,'digital dermatitis','LH',NULL,'2026-03-02','2026-03-02',1,'new',NULL,0);
CREATE TABLE locomotion (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	score INTEGER NOT NULL, 
	scale VARCHAR, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE measure (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	what VARCHAR NOT NULL, 
	number VARCHAR(40) NOT NULL, 
	unit VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE note (
	id INTEGER NOT NULL, 
	clip_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	state VARCHAR NOT NULL, 
	engine VARCHAR NOT NULL, 
	model VARCHAR NOT NULL, 
	words JSON NOT NULL, 
	alternatives JSON NOT NULL, 
	has_speech BOOLEAN NOT NULL, 
	seconds_taken FLOAT NOT NULL, 
	heard_at DATETIME NOT NULL, fits JSON DEFAULT '[]' NOT NULL, cut_out BOOLEAN DEFAULT 0 NOT NULL, again JSON, 
	PRIMARY KEY (id), 
	FOREIGN KEY(clip_id) REFERENCES clip (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id), 
	UNIQUE (clip_id)
);
INSERT INTO "note" VALUES(1,1,1,'confirmed','fake 1','none','[{"text": "cow", "start": 0.0, "end": 0.4, "confidence": 1.0}, {"text": "four", "start": 0.4, "end": 0.8, "confidence": 1.0}, {"text": "twelve", "start": 0.8, "end": 1.2000000000000002, "confidence": 1.0}, {"text": "left", "start": 1.2000000000000002, "end": 1.6, "confidence": 1.0}, {"text": "hind", "start": 1.6, "end": 2.0, "confidence": 1.0}, {"text": "outer", "start": 2.0, "end": 2.4000000000000004, "confidence": 1.0}, {"text": "sole", "start": 2.4000000000000004, "end": 2.8000000000000003, "confidence": 1.0}, {"text": "ulcer", "start": 2.8000000000000003, "end": 3.2, "confidence": 1.0}, {"text": "zone", "start": 3.2, "end": 3.6, "confidence": 1.0}, {"text": "four", "start": 3.6, "end": 4.0, "confidence": 1.0}]','[]',1,3.37231106997933238744e-01,'2026-11-27 20:19:46.215020','[]',0,NULL);
INSERT INTO "note" VALUES(2,2,1,'confirmed','fake 1','none','[{"text": "right", "start": 0.0, "end": 0.4, "confidence": 1.0}, {"text": "hind", "start": 0.4, "end": 0.8, "confidence": 1.0}, {"text": "clean", "start": 0.8, "end": 1.2000000000000002, "confidence": 1.0}, {"text": "next", "start": 1.2000000000000002, "end": 1.6, "confidence": 1.0}, {"text": "cow", "start": 1.6, "end": 2.0, "confidence": 1.0}, {"text": "nine", "start": 2.0, "end": 2.4000000000000004, "confidence": 1.0}, {"text": "right", "start": 2.4000000000000004, "end": 2.8000000000000003, "confidence": 1.0}, {"text": "front", "start": 2.8000000000000003, "end": 3.2, "confidence": 1.0}, {"text": "clean", "start": 3.2, "end": 3.6, "confidence": 1.0}]','[]',1,4.31260350014781579375e-02,'2026-11-27 20:19:46.296856','[]',0,NULL);
INSERT INTO "note" VALUES(3,3,1,'confirmed','fake 1','none','[{"text": "cow", "start": 0.0, "end": 0.4, "confidence": 1.0}, {"text": "twelve", "start": 0.4, "end": 0.8, "confidence": 1.0}, {"text": "left", "start": 0.8, "end": 1.2000000000000002, "confidence": 1.0}, {"text": "front", "start": 1.2000000000000002, "end": 1.6, "confidence": 1.0}, {"text": "white", "start": 1.6, "end": 2.0, "confidence": 1.0}, {"text": "line", "start": 2.0, "end": 2.4000000000000004, "confidence": 1.0}, {"text": "disease", "start": 2.4000000000000004, "end": 2.8000000000000003, "confidence": 1.0}]','[]',1,7.27073180023580789566e-02,'2026-11-27 20:19:46.443074','[]',0,NULL);
INSERT INTO "note" VALUES(4,4,1,'confirmed','fake 1','none','[{"text": "cow", "start": 0.0, "end": 0.4, "confidence": 1.0}, {"text": "eight", "start": 0.4, "end": 0.8, "confidence": 1.0}, {"text": "left", "start": 0.8, "end": 1.2000000000000002, "confidence": 1.0}, {"text": "hind", "start": 1.2000000000000002, "end": 1.6, "confidence": 1.0}, {"text": "digital", "start": 1.6, "end": 2.0, "confidence": 1.0}, {"text": "dermatitis", "start": 2.0, "end": 2.4000000000000004, "confidence": 1.0}, {"text": "right", "start": 2.4000000000000004, "end": 2.8000000000000003, "confidence": 1.0}, {"text": "hind", "start": 2.8000000000000003, "end": 3.2, "confidence": 1.0}, {"text": "clean", "start": 3.2, "end": 3.6, "confidence": 1.0}]','[]',1,9.14975089981453493237e-02,'2026-11-27 20:19:46.611551','[]',0,NULL);
CREATE TABLE reading (
	id INTEGER NOT NULL, 
	note_id INTEGER NOT NULL, 
	origin VARCHAR NOT NULL, 
	who VARCHAR NOT NULL, 
	lexicon VARCHAR NOT NULL, 
	carried_in VARCHAR, 
	carried_out VARCHAR, 
	content JSON NOT NULL, 
	entries JSON NOT NULL, 
	read_at DATETIME NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(note_id) REFERENCES note (id)
);
INSERT INTO "reading" VALUES(1,1,'heard','dictate','44735ffb551d',NULL,'412','{"words": ["cow", "four", "twelve", "left", "hind", "outer", "sole", "ulcer", "zone", "four"], "commands": [], "leftover": [], "leftover_at": []}','[{"at": {"animal": [0, 3]}, "by_hand": [], "animal": "412", "carried": "", "animal_candidates": ["412"], "findings": [{"at": {"foot": [3, 5], "claw": [5, 6], "zone": [8, 10], "lesion": [6, 8]}, "by_hand": [], "foot": "LH", "claw": "outer", "zone": 4, "lesion": "sole ulcer", "stage": null, "severity": null, "heard": "sole ulcer", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}]','2026-11-27 20:19:48.712665');
INSERT INTO "reading" VALUES(2,2,'heard','dictate','44735ffb551d','412','9','{"words": ["right", "hind", "clean", "next", "cow", "nine", "right", "front", "clean"], "commands": ["next cow"], "leftover": [], "leftover_at": []}','[{"at": {}, "by_hand": [], "animal": "412", "carried": "unsaid", "animal_candidates": ["412"], "findings": [{"at": {"foot": [0, 2], "lesion": [2, 3]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": ["animal-carried"], "mark_details": [{"id": "animal-carried", "what": "412 carries over from the note before", "why": "A note that names no animal is taken to be about the one before, which may be wrong; one that says ''same cow'' is marked when the number before was in doubt.", "clear": "Confirm the animal or give another.", "first": -1, "last": -1, "candidates": ["412"]}]}, {"at": {"animal": [5, 6]}, "by_hand": [], "animal": "9", "carried": "", "animal_candidates": ["9"], "findings": [{"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RF", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}]','2026-11-27 20:19:48.816003');
INSERT INTO "reading" VALUES(3,3,'heard','dictate','44735ffb551d','9','12','{"words": ["cow", "twelve", "left", "front", "white", "line", "disease"], "commands": [], "leftover": [], "leftover_at": []}','[{"at": {"animal": [0, 2]}, "by_hand": [], "animal": "12", "carried": "", "animal_candidates": ["12"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 7]}, "by_hand": [], "foot": "LF", "claw": null, "zone": null, "lesion": "white line disease", "stage": null, "severity": null, "heard": "white line disease", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}]','2026-11-27 20:19:48.925025');
INSERT INTO "reading" VALUES(4,4,'heard','dictate','44735ffb551d','12','8','{"words": ["cow", "eight", "left", "hind", "digital", "dermatitis", "right", "hind", "clean"], "commands": [], "leftover": [], "leftover_at": []}','[{"at": {"animal": [0, 2]}, "by_hand": [], "animal": "8", "carried": "", "animal_candidates": ["8"], "findings": [{"at": {"foot": [2, 4], "lesion": [4, 6]}, "by_hand": [], "foot": "LH", "claw": null, "zone": null, "lesion": "digital dermatitis", "stage": null, "severity": null, "heard": "digital dermatitis", "object": null, "course": null, "tissue": [], "region": null}, {"at": {"foot": [6, 8], "lesion": [8, 9]}, "by_hand": [], "foot": "RH", "claw": null, "zone": null, "lesion": "no lesion", "stage": null, "severity": null, "heard": "clean", "object": null, "course": null, "tissue": [], "region": null}], "actions": [], "follow_ups": [], "locomotion": null, "measures": [], "status": [], "denied": [], "remark": null, "spoken_remark": null, "corrections": [], "marks": [], "mark_details": []}]','2026-11-27 20:19:49.007596');
CREATE TABLE remark (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	text VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE seal (
	id INTEGER NOT NULL, 
	through_id INTEGER NOT NULL, 
	sha256 VARCHAR(64) NOT NULL, 
	PRIMARY KEY (id), 
	UNIQUE (through_id)
);
INSERT INTO "seal" VALUES(1,1,'b7b13c77c7fb47719516f9fb064054bd11fb3d0d2aa44b15d6d4c30ec015ef6f');
INSERT INTO "seal" VALUES(2,3,'e7fd68571c3a6ab1a45790071881ba2f2e09ae58515b369350f8c44caa0c18b8');
INSERT INTO "seal" VALUES(3,4,'183e243e68fe4337a8a4848e6d2432dfa3ea04b52a716b6bb3fcbed530edc2e4');
INSERT INTO "seal" VALUES(4,5,'8a9a74cf2fab8e554a7786d410168db414da17a5246f95886ba162e316115616');
INSERT INTO "seal" VALUES(5,6,'211762f7f89461e10bc2491d3d190286adbf6a75b4167c6f36921441715b15a4');
INSERT INTO "seal" VALUES(6,7,'57ab768f92183f7d37cd95700bbbfc653e2923109710f2f6005f062886f2e240');
INSERT INTO "seal" VALUES(7,8,'ecfe7a8283b87bc76934f26b3236e2ee4beb291f3a42c2ac37b6fad89d222b66');
INSERT INTO "seal" VALUES(8,9,'f9b15ac104cb34f11b9f090c165544194756a167b8ea705479a30ba03c010b81');
INSERT INTO "seal" VALUES(9,10,'d97bb199f22021009f1f2d166668cef6a66404cfb99e2f0eaadbfa53099a2839');
CREATE TABLE status (
	entry_id INTEGER NOT NULL, 
	animal_id INTEGER NOT NULL, 
	visit_id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	position INTEGER NOT NULL, 
	id INTEGER NOT NULL, 
	text VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	FOREIGN KEY(animal_id) REFERENCES animal (id), 
	FOREIGN KEY(entry_id) REFERENCES entry (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(visit_id) REFERENCES visit (id)
);
CREATE TABLE trimmer (
	id INTEGER NOT NULL, 
	name VARCHAR NOT NULL, 
	PRIMARY KEY (id), 
	UNIQUE (name)
);
INSERT INTO "trimmer" VALUES(1,'Robin Field');
CREATE TABLE visit (
	id INTEGER NOT NULL, 
	farm_id INTEGER NOT NULL, 
	trimmer_id INTEGER NOT NULL, 
	date DATE NOT NULL, 
	whole_herd BOOLEAN, 
	PRIMARY KEY (id), 
	FOREIGN KEY(farm_id) REFERENCES farm (id), 
	FOREIGN KEY(trimmer_id) REFERENCES trimmer (id), 
	UNIQUE (farm_id, trimmer_id, date)
);
INSERT INTO "visit" VALUES(1,1,1,'2026-03-02',NULL);
CREATE INDEX event_subject ON event (subject, subject_id);
CREATE INDEX ix_event_act ON event (act);
CREATE INDEX ix_alias_trimmer_id ON alias (trimmer_id);
CREATE INDEX animal_eid ON animal (farm_id, eid);
CREATE UNIQUE INDEX animal_present_number ON animal (farm_id, number) WHERE status = 'present' AND merged_into_id IS NULL;
CREATE INDEX ix_animal_farm_id ON animal (farm_id);
CREATE INDEX ix_visit_date ON visit (date);
CREATE INDEX ix_visit_farm_id ON visit (farm_id);
CREATE INDEX ix_visit_trimmer_id ON visit (trimmer_id);
CREATE INDEX ix_clip_visit_id ON clip (visit_id);
CREATE INDEX ix_note_state ON note (state);
CREATE INDEX ix_note_visit_id ON note (visit_id);
CREATE INDEX entry_visit_state ON entry (visit_id, state);
CREATE INDEX ix_entry_animal_id ON entry (animal_id);
CREATE INDEX ix_reading_note_id ON reading (note_id);
CREATE INDEX action_animal_date ON action (animal_id, date);
CREATE INDEX action_farm_date ON action (farm_id, date);
CREATE INDEX ix_action_entry_id ON action (entry_id);
CREATE INDEX ix_action_visit_id ON action (visit_id);
CREATE INDEX finding_animal_date ON finding (animal_id, date);
CREATE INDEX finding_farm_date ON finding (farm_id, date);
CREATE INDEX ix_finding_entry_id ON finding (entry_id);
CREATE INDEX ix_finding_visit_id ON finding (visit_id);
CREATE INDEX follow_up_animal_date ON follow_up (animal_id, date);
CREATE INDEX follow_up_farm_due ON follow_up (farm_id, due_on);
CREATE INDEX ix_follow_up_done_entry_id ON follow_up (done_entry_id);
CREATE INDEX ix_follow_up_entry_id ON follow_up (entry_id);
CREATE INDEX ix_follow_up_visit_id ON follow_up (visit_id);
CREATE INDEX ix_locomotion_entry_id ON locomotion (entry_id);
CREATE INDEX ix_locomotion_visit_id ON locomotion (visit_id);
CREATE INDEX locomotion_animal_date ON locomotion (animal_id, date);
CREATE INDEX ix_measure_entry_id ON measure (entry_id);
CREATE INDEX ix_measure_visit_id ON measure (visit_id);
CREATE INDEX measure_animal_date ON measure (animal_id, date);
CREATE INDEX ix_remark_entry_id ON remark (entry_id);
CREATE INDEX ix_remark_visit_id ON remark (visit_id);
CREATE INDEX remark_animal_date ON remark (animal_id, date);
CREATE INDEX ix_status_entry_id ON status (entry_id);
CREATE INDEX ix_status_visit_id ON status (visit_id);
CREATE INDEX status_animal_date ON status (animal_id, date);
CREATE TRIGGER event_row_kept BEFORE UPDATE ON event FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'event is append-only'); END;
CREATE TRIGGER reading_row_kept BEFORE UPDATE ON reading FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'reading is append-only'); END;
CREATE TRIGGER note_words_kept BEFORE UPDATE OF words ON note FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'note is append-only'); END;
CREATE TRIGGER note_alternatives_kept BEFORE UPDATE OF alternatives ON note FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'note is append-only'); END;
CREATE TRIGGER clip_sha256_kept BEFORE UPDATE OF sha256 ON clip FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'clip is append-only'); END;
CREATE TRIGGER clip_not_deleted BEFORE DELETE ON clip FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'clip is append-only'); END;
CREATE TRIGGER entry_not_deleted BEFORE DELETE ON entry FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'entry is append-only'); END;
CREATE TRIGGER event_not_deleted BEFORE DELETE ON event FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'event is append-only'); END;
CREATE TRIGGER note_not_deleted BEFORE DELETE ON note FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'note is append-only'); END;
CREATE TRIGGER reading_not_deleted BEFORE DELETE ON reading FOR EACH ROW  BEGIN SELECT RAISE(ABORT, 'reading is append-only'); END;
CREATE INDEX ix_herd_case_animal_id ON herd_case (animal_id);
CREATE INDEX herd_case_farm_closed ON herd_case (farm_id, closed_on);
CREATE INDEX herd_case_farm_first ON herd_case (farm_id, first_on);
COMMIT;
