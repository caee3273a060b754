import django.core.validators
from django.db import migrations, models


def keep_limits_in_order(apps, schema_editor):
    """A branch may plan on less than the new hold limit, or on more than the pull-forward one."""
    branches = apps.get_model('shop', 'Branch').objects
    branches.filter(least_warmth__lt=0.6).update(hold_limit=models.F('least_warmth'))
    branches.filter(least_warmth__gt=0.9).update(pull_forward_limit=models.F('least_warmth'))


class Migration(migrations.Migration):

    dependencies = [
        ('shop', '0001_branches_and_staff'),
    ]

    operations = [
        migrations.AddField(
            model_name='branch',
            name='hold_limit',
            field=models.FloatField(default=0.6, help_text='A promised cooling check leaves its time when it is warm with less than this', validators=[django.core.validators.MinValueValidator(0.3), django.core.validators.MaxValueValidator(0.95)]),
        ),
        migrations.AddField(
            model_name='branch',
            name='notice_days',
            field=models.PositiveSmallIntegerField(default=2, help_text='Days between a letter about a new time and that time'),
        ),
        migrations.AddField(
            model_name='branch',
            name='promise_days',
            field=models.PositiveSmallIntegerField(default=10, help_text='Working days ahead that times are promised to customers'),
        ),
        migrations.AddField(
            model_name='branch',
            name='pull_forward_limit',
            field=models.FloatField(default=0.9, help_text='A free time is filled at short notice when it is at least this likely warm', validators=[django.core.validators.MinValueValidator(0.5), django.core.validators.MaxValueValidator(0.99)]),
        ),
        migrations.AddField(
            model_name='branch',
            name='test_only_min',
            field=models.PositiveSmallIntegerField(default=30, help_text='The short visit that only tests, each system'),
        ),
        migrations.RunPython(keep_limits_in_order, migrations.RunPython.noop),
        migrations.AddConstraint(
            model_name='branch',
            constraint=models.CheckConstraint(condition=models.Q(('hold_limit__gte', 0.3), ('hold_limit__lte', models.F('least_warmth')), ('pull_forward_limit__gte', models.F('least_warmth')), ('pull_forward_limit__lte', 0.99)), name='branch_limits_are_in_order'),
        ),
        migrations.AddConstraint(
            model_name='branch',
            constraint=models.CheckConstraint(condition=models.Q(('notice_days__range', (1, 14)), ('promise_days__range', (1, 60))), name='branch_gives_notice_and_promises_ahead'),
        ),
        migrations.AddConstraint(
            model_name='branch',
            constraint=models.CheckConstraint(condition=models.Q(('test_only_min__range', (10, 480))), name='branch_tests_in_some_minutes'),
        ),
    ]
